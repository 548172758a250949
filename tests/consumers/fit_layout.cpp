// A machine whose sheets lie elsewhere than its layout says: scans with jets switched off tell where.
#include <cmath>

#include "bench.h"
#include "scrapetrace/fit_from_scans.h"
#include "scrapetrace/report.h"

int main(int, char** argv) {
  using namespace scrapetrace;
  const Bench start = bench(argv[1], "/fixtures/charts/tavvick_strip.toml");
  Bench machine = start;
  machine.layout.transfer.sheet_left_on_drum_mm += 1.3;
  machine.layout.transfer.scale_cross += 0.002;
  Causes off;
  std::vector<KnownJet> jets;
  for (const auto& [head, jet] : std::vector<std::pair<std::size_t, int>>{
           {1, 12}, {1, 40}, {2, 20}, {2, 44}, {3, 12}, {3, 35}, {4, 16}, {4, 40}, {5, 25}, {5, 40}}) {
    off.jets.push_back({head, 3, jet, 1});  // ink 3 is black
    jets.push_back({start.layout.heads[head].name, jet, std::nullopt});
  }
  const auto fitted =
      value(fit_layout_to_scans(start.layout, &start.chart, jets, {page_of(machine, off, 1)}));
  const Transfer& found = fitted.fit.layout.transfer;
  check(fitted.missing.empty(), "every gap was seen");
  check(std::abs(found.sheet_left_on_drum_mm - machine.layout.transfer.sheet_left_on_drum_mm) < 0.1,
        "the sheet lies where it does, to a tenth of a millimetre");
  check(std::abs(found.scale_cross - machine.layout.transfer.scale_cross) < 0.0006, "at its scale");
  check(report::fit_text(fitted.fit).find("scale_cross") != std::string::npos, "the text names the key");
}
