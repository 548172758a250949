#include "page/find_other_print.h"

#include <algorithm>
#include <cmath>

#include "page/column_runs.h"

namespace scrapetrace::page {

namespace {

constexpr float kInk = 0.03F;       // lightness below paper
constexpr float kSharp = 0.05F;     // step of lightness over two cells
constexpr double kMargin_mm = 1.4;  // around a rectangle, for its blurred sides
constexpr double kEdge_mm = 2.0;    // from the sheet's edge, for its shadow
constexpr int kFewestSharp = 2;     // cells

enum class Cell : char { bare, ink, taken };

class Page {
 public:
  Page(const UprightMap& map, const FoundSheet& sheet, const Rgb& paper,
       const std::vector<FoundRectangle>& rectangles)
      : map_(map), lightness_(map, sheet, paper), cells_(map.linear.size(), Cell::bare) {
    for (int j = 0; j < map.height; ++j) {
      for (int i = 0; i < map.width; ++i) {
        const double x = map.x_mm(i + 0.5);
        const double y = map.y_mm(j + 0.5);
        const bool inside = x > sheet.x_mm[0] + kEdge_mm && x < sheet.x_mm[1] - kEdge_mm &&
                            y > sheet.y_mm[0] + kEdge_mm && y < sheet.y_mm[1] - kEdge_mm &&
                            lightness_.on_sheet(i, j);
        const Lightness& f = lightness_.at(i, j);
        if (!inside) {
          cell(i, j) = Cell::taken;
        } else if (1 - *std::min_element(f.begin(), f.end()) > kInk) {
          cell(i, j) = Cell::ink;
        }
      }
    }
    for (const FoundRectangle& r : rectangles) take(r);
  }

  // Removes the connected ink (8-neighbourhood) around a cell and returns where it was; nothing unless sharp.
  std::optional<OtherPrint> pick_up(int i0, int j0) {
    if (cell(i0, j0) != Cell::ink) return std::nullopt;
    std::vector<std::array<int, 2>> open = {{i0, j0}};
    cell(i0, j0) = Cell::taken;
    std::array<int, 2> low = {i0, j0};
    std::array<int, 2> high = {i0, j0};
    int sharp = 0;
    while (!open.empty()) {
      const auto [i, j] = open.back();
      open.pop_back();
      low = {std::min(low[0], i), std::min(low[1], j)};
      high = {std::max(high[0], i), std::max(high[1], j)};
      if (is_sharp(i, j)) ++sharp;
      for (int n = std::max(0, j - 1); n <= std::min(map_.height - 1, j + 1); ++n) {
        for (int m = std::max(0, i - 1); m <= std::min(map_.width - 1, i + 1); ++m) {
          if (cell(m, n) != Cell::ink) continue;
          cell(m, n) = Cell::taken;
          open.push_back({m, n});
        }
      }
    }
    if (sharp < kFewestSharp) return std::nullopt;
    return OtherPrint{{map_.x_mm(low[0]), map_.x_mm(high[0] + 1)},
                      {map_.y_mm(low[1]), map_.y_mm(high[1] + 1)}};
  }

 private:
  Cell& cell(int i, int j) {
    return cells_[static_cast<std::size_t>(j) * static_cast<std::size_t>(map_.width) +
                  static_cast<std::size_t>(i)];
  }

  void take(const FoundRectangle& r) {
    const auto clamped = [](double at, int limit) {
      return std::clamp(static_cast<int>(std::lround(at)), 0, limit);
    };
    for (int j = clamped(map_.row(r.y_mm[0] - kMargin_mm), map_.height);
         j < clamped(map_.row(r.y_mm[1] + kMargin_mm), map_.height); ++j) {
      for (int i = clamped(map_.column(r.x_mm[0] - kMargin_mm), map_.width);
           i < clamped(map_.column(r.x_mm[1] + kMargin_mm), map_.width); ++i) {
        cell(i, j) = Cell::taken;
      }
    }
  }

  // Compares with bare paper or other ink two cells on, not with a rectangle's blurred side.
  bool is_sharp(int i, int j) {
    if (j < 1 || j + 1 >= map_.height || !lightness_.on_sheet(i, j - 1) || !lightness_.on_sheet(i, j + 1))
      return false;
    return largest_difference(lightness_.at(i, j - 1), lightness_.at(i, j + 1)) > kSharp;
  }

  const UprightMap& map_;
  LightnessMap lightness_;
  std::vector<Cell> cells_;
};

}  // namespace

std::vector<OtherPrint> find_other_print(const UprightMap& map, const FoundSheet& sheet, const Rgb& paper,
                                         const std::vector<FoundRectangle>& rectangles) {
  Page page(map, sheet, paper, rectangles);
  std::vector<OtherPrint> found;
  for (int j = 0; j < map.height; ++j) {
    for (int i = 0; i < map.width; ++i) {
      if (const auto print = page.pick_up(i, j)) found.push_back(*print);
    }
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const OtherPrint& a, const OtherPrint& b) { return a.y_mm[0] < b.y_mm[0]; });
  std::vector<OtherPrint> merged;
  for (const OtherPrint& print : found) {
    if (merged.empty() || print.y_mm[0] > merged.back().y_mm[1] + map.cell_mm) {
      merged.push_back(print);
      continue;
    }
    OtherPrint& last = merged.back();
    last.x_mm = {std::min(last.x_mm[0], print.x_mm[0]), std::max(last.x_mm[1], print.x_mm[1])};
    last.y_mm[1] = std::max(last.y_mm[1], print.y_mm[1]);
  }
  return merged;
}

}  // namespace scrapetrace::page
