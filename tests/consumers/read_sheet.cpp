// A scan in a file, named on the command line, is read: it is the page of the same pixels in memory.
#include "bench.h"

int main(int, char** argv) {
  const Bench read = bench(argv[1]);
  const auto names = value(scrapetrace::scan::pages_of(argv[2]));
  check(names.size() == 1 && names.front() == argv[2], "the file is its one page");
  const auto page = value(scrapetrace::read_sheet(names.front(), read.layout, &read.chart));
  check(page.tag_dpi_across > 299 && page.tag_dpi_across < 301, "the file says 300 dpi");
  const auto missing = scrapetrace::read_sheet("no such file.tif", read.layout, &read.chart);
  check(!missing.ok() && missing.problems().front().file == "no such file.tif", "a missing file is named");
  const auto found = scrapetrace::locate(read.layout, &read.chart, {{argv[2], page}}, {}).findings;
  check(!found.targets.empty() && found.targets.front().head == "3", "head 3 is to be cleaned");
}
