#include "fuzz/target.h"
#include "scrapetrace/layout_description.h"
#include "scrapetrace/read_files.h"

// A layout that is taken can be described, and written so that it is taken again.
void scrapetrace::fuzz::take(std::string_view bytes) {
  const auto layout = layout::read_layout(bytes, "fuzz.toml");
  if (!layout) return expect(!layout.problems().empty());
  layout::describe_layout(*layout);
  expect(layout::read_layout(layout::write_layout(*layout, ""), "again.toml").ok());
}
