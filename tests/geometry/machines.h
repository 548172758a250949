#pragma once
// Layouts for the tests: one head by hand, or whole machines at random.

#include <algorithm>
#include <numeric>
#include <random>
#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace::testing {

// One carriage, one head, columns of exactly 1 mm so that columns and millimetres read alike.
inline Layout one_head(int pitch, int step, int first_jet, int jets) {
  Layout layout;
  layout.raster = {25.4, 25.4};
  layout.drum = {static_cast<double>(first_jet + pitch * jets + 500), 480};
  layout.interleave.jet_pitch_px = pitch;
  for (int k = 0; k < pitch; ++k) layout.interleave.shift_px.push_back(k * step);
  layout.inks = {{"cyan", {1.1, 0.3, 0.1}}};
  layout.carriages = {{"only", 30, 0, 1}};
  layout.heads = {{"1", 0, first_jet, jets, false}};
  layout.zones = {{"faceplate", Side::left, -6, 7, 0.35, 4},
                  {"faceplate", Side::right, -6, 7, 0.35, 4},
                  {"insulation", Side::left, 7, 15, 0.15, 9},
                  {"insulation", Side::right, 7, 15, 0.15, 9}};
  return layout;
}

struct Extent {
  int low = 0;
  int high = 0;
};

inline Extent shifts_of(const Layout& layout, std::size_t carriage) {
  std::vector<int> shifts;
  for (const int s : layout.interleave.shift_px) shifts.push_back(layout.carriages[carriage].travel * s);
  const auto [low, high] = std::minmax_element(shifts.begin(), shifts.end());
  return {*low, *high};
}

// A whole machine: any complete interleave, 1 to 4 carriages of either travel, some misaligned, and heads
// that overlap or just meet.
inline Layout random_machine(unsigned seed) {
  std::mt19937 random(seed);
  const auto pick = [&random](int low, int high) {
    return std::uniform_int_distribution<int>(low, high)(random);
  };
  Layout layout = one_head(pick(2, 12), 1, 0, 2);
  const int pitch = layout.interleave.jet_pitch_px;
  layout.raster.cross_process_dpi = pick(1, 2) * 300.0;
  auto& shifts = layout.interleave.shift_px;
  std::iota(shifts.begin(), shifts.end(), 0);
  std::shuffle(shifts.begin(), shifts.end(), random);
  for (int& s : shifts) s += pitch * pick(-1, 4);

  layout.carriages.clear();
  const int carriages = pick(1, 4);
  for (int i = 0; i < carriages; ++i) {
    const double offset_mm = pick(0, 1) == 0 ? 0 : pick(-300, 300) * 0.00123;
    layout.carriages.push_back(
        {"carriage " + std::to_string(i), pick(0, 80) * 4.0 + i, offset_mm, pick(0, 1) == 0 ? 1 : -1});
  }
  layout.heads.clear();
  int first = pick(0, 40);
  const int heads = pick(1, 6);
  for (int h = 0; h < heads; ++h) {
    const auto carriage = static_cast<std::size_t>(pick(0, carriages - 1));
    const Extent shift = shifts_of(layout, carriage);
    const int jets = (shift.high - shift.low) / pitch + pick(12, 40);
    layout.heads.push_back({std::to_string(h + 1), carriage, first - shift.high, jets, pick(0, 1) == 1});
    const int last = first - shift.high + (jets - 1) * pitch + shift.low;
    first = last + 1 - pick(0, std::min(20, (last - first) / 3));
  }
  layout.drum.width_mm = (first + 200) * layout.px_mm();
  return layout;
}

}  // namespace scrapetrace::testing
