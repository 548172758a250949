#include "fuzz/target.h"
#include "layout/write_chart.h"
#include "scrapetrace/read_files.h"

void scrapetrace::fuzz::take(std::string_view bytes) {
  static const auto machine = layout::read_layout(slurp("geometry/tavvick.toml"), "");
  const auto chart = layout::read_chart(bytes, "fuzz.toml", &*machine);
  if (!chart) return expect(!chart.problems().empty());
  expect(layout::read_chart(layout::write_chart(*chart, ""), "again.toml", &*machine).ok());
}
