// A scan in memory becomes a ranked list of targets, and reports of it.
#include <cmath>

#include "bench.h"
#include "scrapetrace/report.h"

int main(int, char** argv) {
  using namespace scrapetrace;
  const Bench read = bench(argv[1]);
  const Causes causes = scraped(read);
  LocateOptions options;
  options.thumbnails = options.evidence = true;
  const auto result = locate(read.layout, &read.chart, {page_of(read, causes, 7)}, options);
  check(!result.findings.targets.empty(), "there is something to clean");
  const Target& first = result.findings.targets.front();
  const double truth_mm = causes.residues[0].x_mm + causes.residues[0].width_mm / 2;
  check(first.head == "3" && std::abs(first.x_drum_mm - truth_mm) < 0.5,
        "it is at head 3, to half a millimetre");
  check(report::locate_text(read.layout, result.findings).rfind("Clean head 3", 0) == 0,
        "the text begins with it");
  check(report::locate_json(read.layout, result.findings, {"1.0", {}}).find("\"scrapetrace.locate/1\"") !=
            std::string::npos,
        "the JSON names its schema");
  check(report::locate_html(read.layout, &read.chart, result).find("data:image/png;base64,") !=
            std::string::npos,
        "the page holds the sheet's picture");
  check(report::locate_svg(read.layout, &read.chart, result, {"1.0", {}}).find("<svg") != std::string::npos,
        "the drawing is an SVG");
}
