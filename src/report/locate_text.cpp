#include "report/text_sections.h"
#include "report/words.h"
#include "report/wrap.h"
#include "scrapetrace/report.h"

namespace scrapetrace::report {

std::string locate_text(const Layout& layout, const Findings& findings, LengthUnit unit) {
  const Answer found = answer(findings);
  std::string out = answer_section(found, findings, unit);
  for (const auto& section :
       {cautions_section(found), steps_section(found, findings, unit), ranking_section(findings, unit),
        traces_section(findings, unit), streaks_section(findings, unit), other_section(findings, unit),
        unchecked_section(findings, unit), scans_section(findings, unit)}) {
    if (!section.empty()) out += '\n' + section;
  }
  return out + '\n' + wrap("Layout: ", printable(layout.name));
}

}  // namespace scrapetrace::report
