#include "fuzz/target.h"
#include "layout/read_limits.h"

void scrapetrace::fuzz::take(std::string_view bytes) {
  const auto limits = layout::read_limits(bytes, "fuzz.toml");
  expect(limits.ok() || !limits.problems().empty());
}
