#pragma once
// The machines in geometry/, each with the sheet it is made for, and its page as a picture.

#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <string>

#include "scrapetrace/layout_description.h"
#include "scrapetrace/read_files.h"
#include "testpage/paint.h"
#include "testpage/test_page.h"

namespace scrapetrace::testing {

struct Machine {
  const char* name;
  std::array<double, 2> sheet_mm;
};
inline void PrintTo(const Machine& machine, std::ostream* out) {
  *out << machine.name;
}
constexpr std::array kMachines = {Machine{"hobdrel", {320, 450}}, Machine{"quennip", {305, 430}},
                                  Machine{"tavvick", {210, 297}}};

inline Layout layout_of(const Machine& machine) {
  const std::string path = std::string(SCRAPETRACE_SOURCE_DIR) + "/geometry/" + machine.name + ".toml";
  std::ifstream file(path);
  std::ostringstream text;
  text << file.rdbuf();
  return layout::read_layout(text.str(), path).value();
}

struct Page {
  Layout layout;
  LayoutDescription description;
  testpage::PagePlan plan;
  testpage::Drawing drawing;
};

inline Page page_of(const Machine& machine) {
  Page page;
  page.layout = layout_of(machine);
  page.description = layout::describe_layout(page.layout);
  testpage::PageOptions options;
  options.sheet_mm = machine.sheet_mm;
  page.plan = testpage::plan_page(page.layout, page.description, options).value();
  page.drawing = testpage::draw_test_page(page.layout, page.description, page.plan);
  return page;
}

}  // namespace scrapetrace::testing
