#include "tags/tag_pattern.h"

#include <algorithm>
#include <cstdint>
#include <memory>

extern "C" {
#include <apriltag/tag36h11.h>
}

namespace scrapetrace::tags {

namespace {

constexpr double kDark = 0.7;  // in every channel; readable by itself

using Family = std::unique_ptr<apriltag_family_t, void (*)(apriltag_family_t*)>;
Family family() {
  return {tag36h11_create(), tag36h11_destroy};
}

// Runs of black in a row: columns [from, to).
std::vector<std::array<int, 2>> runs_of(const std::array<bool, kCells>& row) {
  std::vector<std::array<int, 2>> runs;
  for (int c = 0; c < kCells; ++c) {
    if (!row[static_cast<std::size_t>(c)]) continue;
    if (!runs.empty() && runs.back()[1] == c) {
      ++runs.back()[1];
    } else {
      runs.push_back({c, c + 1});
    }
  }
  return runs;
}

}  // namespace

int count() {
  static const int codes = static_cast<int>(family()->ncodes);
  return codes;
}

std::optional<Pattern> pattern_of(int id) {
  if (id < 0 || id >= count()) return std::nullopt;
  const Family tag = family();
  Pattern black;
  for (auto& row : black) row.fill(true);
  const std::uint64_t code = tag->codes[id];
  for (std::uint32_t bit = 0; bit < tag->nbits; ++bit) {
    const bool white = ((code >> (tag->nbits - 1 - bit)) & 1U) != 0;
    if (white) black[tag->bit_y[bit]][tag->bit_x[bit]] = false;
  }
  return black;
}

std::vector<Rectangle> rectangles_of(const Mark& mark) {
  const auto pattern = pattern_of(mark.id);
  if (!pattern) return {};
  const double cell = mark.size_mm / kCells;
  const double left = mark.center_mm[0] - mark.size_mm / 2;
  const double top = mark.center_mm[1] - mark.size_mm / 2;
  std::vector<Rectangle> out;
  std::vector<std::array<int, 2>> above;
  std::size_t first_above = 0;
  for (int r = 0; r < kCells; ++r) {
    const auto runs = runs_of((*pattern)[static_cast<std::size_t>(r)]);
    if (r > 0 && runs == above) {
      for (std::size_t k = first_above; k < out.size(); ++k) out[k].y_mm[1] = top + (r + 1) * cell;
      continue;
    }
    first_above = out.size();
    for (const auto& run : runs)
      out.push_back({{left + run[0] * cell, left + run[1] * cell}, {top + r * cell, top + (r + 1) * cell}});
    above = runs;
  }
  return out;
}

std::vector<std::string> dark_inks(const Layout& layout) {
  const auto least = [](const Ink& ink) {
    return *std::min_element(ink.solid_density_rgb.begin(), ink.solid_density_rgb.end());
  };
  const auto darkest = std::max_element(layout.inks.begin(), layout.inks.end(),
                                        [&](const Ink& a, const Ink& b) { return least(a) < least(b); });
  if (darkest != layout.inks.end() && least(*darkest) >= kDark) return {darkest->name};
  std::vector<std::string> all;
  for (const Ink& ink : layout.inks) all.push_back(ink.name);
  return all;
}

}  // namespace scrapetrace::tags
