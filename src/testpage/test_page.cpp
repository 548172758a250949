#include "testpage/test_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/srgb.h"
#include "tags/tag_pattern.h"
#include "testpage/ruler.h"

namespace scrapetrace::testpage {

namespace {

constexpr double kLine_mm = 3.1;  // from one line of words to the next
constexpr double kFont_mm = 2.3;

using Lines = std::vector<std::string>;

// Free ranges of a row between the white borders of its tags.
std::vector<std::array<double, 2>> cells_of(const TagRow& row, double tag_mm) {
  const double half = row_height_mm(tag_mm) / 2;
  std::vector<std::array<double, 2>> cells;
  for (std::size_t i = 0; i + 1 < row.x_mm.size(); ++i)
    cells.push_back({row.x_mm[i] + half, row.x_mm[i + 1] - half});
  return cells;
}

void add_lines(Drawing& page, const std::array<double, 2>& cell, double y_mm, const Lines& lines) {
  double base = y_mm - kLine_mm * (static_cast<double>(lines.size()) - 1) / 2 + 0.35 * kFont_mm;
  bool first = true;
  for (const auto& line : lines) {
    page.items.emplace_back(
        Words{{cell[0], base}, line, kFont_mm, Anchor::left, cell[1] - cell[0], first, kBlack});
    base += kLine_mm;
    first = false;
  }
}

// The arrow towards the lead edge.
void add_arrow(Drawing& page, double x_mm, double y_mm, double tag_mm) {
  const double h = tag_mm / 2;
  page.items.emplace_back(Shape{{{{x_mm, y_mm - h},
                                  {x_mm + 0.62 * h, y_mm},
                                  {x_mm + 0.24 * h, y_mm},
                                  {x_mm + 0.24 * h, y_mm + h},
                                  {x_mm - 0.24 * h, y_mm + h},
                                  {x_mm - 0.24 * h, y_mm},
                                  {x_mm - 0.62 * h, y_mm}}},
                                kBlack});
}

std::vector<Lines> words_at_lead_edge(const Layout& layout, const PagePlan& plan) {
  return {{"Lead edge", "This edge goes first,", "printed side up."},
          {"Test page for " + layout.name,
           fmt::format("sheet {:g} x {:g} mm", plan.chart.sheet_mm[0], plan.chart.sheet_mm[1]),
           fmt::format("tags {} to {}", plan.chart.marks.front().id, plan.chart.marks.back().id)}};
}

std::vector<Lines> words_at_trail_edge() {
  return {{"Printing", "100 %, no fitting to the page,", "no colour matching, no ink saving."},
          {"Scanning", "Whole sheet, 300 dpi or more,", "sharpening and enhancement off."},
          {"Taking a photo", "All four corners, sharp, no flash,", "as square on as you can."}};
}

void add_edge_words(Drawing& page, const TagRow& row, double tag_mm, const std::vector<Lines>& words,
                    bool arrow) {
  auto cells = cells_of(row, tag_mm);
  if (arrow) {
    add_arrow(page, cells[0][0] + tag_mm / 3, row.y_mm, tag_mm);
    cells[0][0] += tag_mm;
  }
  for (std::size_t i = 0; i < std::min(cells.size(), words.size()); ++i)
    add_lines(page, cells[i], row.y_mm, words[i]);
}

void add_head_row(Drawing& page, const TagRow& row, double tag_mm, const std::vector<HeadSpan>& heads) {
  const auto cell = cells_of(row, tag_mm).front();
  const Window window{cell[0], cell[1], cell[0]};
  const double top = row.y_mm - tag_mm / 2;
  const double bar = std::min(4.2, 0.5 * tag_mm);
  add_heads(page, window, heads, top, bar);
  add_ticks(page, window, top + bar + 0.3, std::min(2.0, 0.25 * tag_mm));
}

void add_tags(Drawing& page, const Chart& chart) {
  for (const Mark& mark : chart.marks) {
    Shape tag;
    for (const auto& cells : tags::rectangles_of(mark)) {
      const auto one = box(cells.x_mm, cells.y_mm);
      tag.outlines.push_back(one.outlines.front());
    }
    page.items.emplace_back(std::move(tag));
  }
}

}  // namespace

Rgb solid_colour(const Layout& layout, const std::vector<std::string>& inks) {
  Rgb srgb{};
  for (std::size_t c = 0; c < 3; ++c) {
    double density = 0;
    for (const Ink& ink : layout.inks) {
      if (std::find(inks.begin(), inks.end(), ink.name) != inks.end()) density += ink.solid_density_rgb[c];
    }
    srgb[c] = srgb_from_linear(std::pow(10.0, -density));
  }
  return srgb;
}

Drawing draw_test_page(const Layout& layout, const LayoutDescription& machine, const PagePlan& plan) {
  Drawing page{plan.chart.sheet_mm[0], plan.chart.sheet_mm[1], {}};
  for (const Patch& patch : plan.chart.patches)
    page.items.emplace_back(box(patch.x_mm, patch.y_mm, solid_colour(layout, patch.inks)));
  add_tags(page, plan.chart);
  const double tag_mm = plan.chart.marks.front().size_mm;
  const auto heads = spans_on_sheet(layout, machine);
  add_edge_words(page, plan.rows.front(), tag_mm, words_at_lead_edge(layout, plan), true);
  for (std::size_t r = 1; r + 1 < plan.rows.size(); ++r) add_head_row(page, plan.rows[r], tag_mm, heads);
  add_edge_words(page, plan.rows.back(), tag_mm, words_at_trail_edge(), false);
  return page;
}

}  // namespace scrapetrace::testpage
