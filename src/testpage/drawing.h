#pragma once
// A page of simple shapes, in mm from its top left corner, x right, y down. Later shapes cover earlier ones.

#include <array>
#include <string>
#include <variant>
#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace::testpage {

using PagePoint = std::array<double, 2>;
inline constexpr Rgb kBlack = {0, 0, 0};
inline constexpr Rgb kGrey = {0.45, 0.45, 0.45};

// One or several touching closed outlines, filled at once to avoid hairlines.
struct Shape {
  std::vector<std::vector<PagePoint>> outlines;
  Rgb srgb = kBlack;
};
Shape box(std::array<double, 2> x_mm, std::array<double, 2> y_mm, const Rgb& srgb = kBlack);

struct Stroke {
  PagePoint from{};
  PagePoint to{};
  double width_mm = 0.2;
  Rgb srgb = kBlack;
  bool dashed = false;
};

enum class Anchor { left, middle, right };

// `at` is the anchor on the baseline. `size_mm` is the font size, reduced if the line would exceed `most_mm`
// (0: no limit).
struct Words {
  PagePoint at{};
  std::string utf8;
  double size_mm = 3;
  Anchor anchor = Anchor::left;
  double most_mm = 0;
  bool bold = false;
  Rgb srgb = kBlack;
};

using Item = std::variant<Shape, Stroke, Words>;

struct Drawing {
  double width_mm = 0;
  double height_mm = 0;
  std::vector<Item> items;
};

}  // namespace scrapetrace::testpage
