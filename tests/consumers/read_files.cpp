// A layout and a chart are read, a broken layout is refused with its place, and a layout survives being
// written.
#include "bench.h"

int main(int, char** argv) {
  const Bench read = bench(argv[1]);
  check(read.layout.heads.size() == 6, "the machine has six heads");
  check(!read.chart.patches.empty(), "the chart has patches");
  const auto broken = scrapetrace::layout::read_layout("schema = 3\n", "broken.toml");
  check(!broken.ok() && broken.problems().front().file == "broken.toml",
        "a broken layout is refused by name");
  const auto toml = scrapetrace::layout::write_layout(read.layout, "written by a consumer");
  const auto again = value(scrapetrace::layout::read_layout(toml, "again.toml"));
  check(again.heads.back().first_jet_px == read.layout.heads.back().first_jet_px,
        "heads stay where they are");
}
