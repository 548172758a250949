#include "report/locate_text.h"

#include "report/text_sections.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

std::string locate_text(const Layout& layout, const Findings& findings) {
  const Answer found = answer(findings);
  std::string out = answer_section(found, findings);
  for (const auto& section : {cautions_section(found), steps_section(found, findings),
                              ranking_section(findings), streaks_section(findings), other_section(findings),
                              unchecked_section(findings), scans_section(findings)}) {
    if (!section.empty()) out += '\n' + section;
  }
  return out + '\n' + wrap("Layout: ", printable(layout.name));
}

}  // namespace scrapetrace::report
