#include "score/more_evidence.h"

#include "score/judge.h"
#include "score/render.h"
#include "score/statistics.h"

namespace scrapetrace::score {

namespace {

ScanInput scan_of(const Case& drawn, const Causes& causes, const Sheet& sheet, const std::string& name) {
  auto rendered = render(drawn, causes, sheet);
  if (!rendered) return {name, rendered.problems()};
  return {name, std::move(rendered).value().as_scanned};
}

}  // namespace

EvidenceRecord read_more(const Case& drawn, const ScanInput& first) {
  const Layout& layout = drawn.machine->layout;
  const auto read = [&](const std::vector<ScanInput>& scans, LocateOptions options) {
    options.threads = 1;  // the cases run side by side
    const Findings findings = locate(layout, &drawn.chart, scans, options).findings;
    return together(beliefs_of(layout, findings.targets), beliefs_of(layout, findings.traces));
  };
  std::vector<ScanInput> sheets{first};
  for (std::size_t k = 1; k < drawn.sheets.size(); ++k)
    sheets.push_back(scan_of(drawn, drawn.causes, drawn.sheets[k], "sheet " + std::to_string(k + 1)));
  EvidenceRecord out;
  out.several = read(sheets, {});
  sheets.clear();
  LocateOptions same_sheet;
  same_sheet.same_sheet = true;
  out.again = read({first, scan_of(drawn, drawn.causes, *drawn.again, "sheet 1 again")}, same_sheet);
  const std::vector<ScanInput> before{scan_of(drawn, drawn.causes_before, *drawn.before, "before")};
  LocateOptions since;
  since.before = &before;
  out.before = read({first}, since);
  return out;
}

}  // namespace scrapetrace::score
