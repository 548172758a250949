#include "fuzz/target.h"
#include "layout/read_scenario.h"
#include "scrapetrace/read_files.h"

void scrapetrace::fuzz::take(std::string_view bytes) {
  static const auto machine = layout::read_layout(slurp("geometry/tavvick.toml"), "");
  const auto scenario = layout::read_scenario(bytes, "fuzz.toml", *machine);
  expect(scenario.ok() || !scenario.problems().empty());
}
