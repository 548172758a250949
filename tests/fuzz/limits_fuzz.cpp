#include "fuzz/target.h"
#include "scrapetrace/read_files.h"

void scrapetrace::fuzz::take(std::string_view bytes) {
  const auto limits = layout::read_limits(bytes, "fuzz.toml");
  expect(limits.ok() || !limits.problems().empty());
}
