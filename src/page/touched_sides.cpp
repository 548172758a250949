#include "page/touched_sides.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>

#include "base/parallel.h"
#include "base/robust.h"

namespace scrapetrace::page {

namespace {

constexpr double kOutside_mm = 3.0;     // of paper examined outside the side
constexpr double kOtherPatch_mm = 0.5;  // excluded next to another patch outside
constexpr double kSheetEnd_mm = 1.5;    // and next to the sheet's edge
constexpr double kBlurred_px = 4.0;     // excluded to both sides for an ordinary blur,
constexpr double kBlurs = 3.5;          // or this many standard deviations of a larger one
constexpr double kBeside_mm = 2.0;
constexpr double kFarther_mm = 30.0;  // several times the widest streak
constexpr double kNarrowest_mm = 15.0;
constexpr double kInLine_mm = 1.0;
constexpr double kBin_mm = 0.33;
constexpr double kMissing = 0.08;      // of the ink, inside
constexpr double kLeft = 0.08;         // of the step, outside
constexpr double kTouchedStep = 0.06;  // of full scale
constexpr double kCornerEnd_mm = 1.5;  // excluded near a patch's corners
constexpr std::size_t kFewestBlocks = 3;

// Mean light of a patch's rows by distance from a side.
class SideProfile {
 public:
  SideProfile(const PageRaster& raster, const RasterFromSheet& map, const Patch& patch, int channel,
              double side_mm, double inwards)
      : raster_(raster), map_(map), channel_(channel), side_mm_(side_mm), inwards_(inwards) {
    const double margin = kCornerEnd_mm + raster.rows_per_block / std::abs(map.vy);
    for (int b = 0; b < raster.blocks(); ++b) {
      const double v = b * raster.rows_per_block + 0.5 * raster.rows_in(b);
      const double y = (v - map.v0 - map.vx * side_mm) / map.vy;
      if (y > patch.y_mm[0] + margin && y < patch.y_mm[1] - margin) blocks_.push_back({b, y});
    }
  }

  [[nodiscard]] bool seen() const { return blocks_.size() >= kFewestBlocks; }

  // Means per kBin_mm over [from, to) mm inwards of the side; nothing outside the image.
  [[nodiscard]] std::vector<double> levels(double from_mm, double to_mm) const {
    std::vector<double> out;
    std::vector<double> places;
    const double step = 0.5 / std::abs(map_.ux);
    for (double at = from_mm; at + kBin_mm <= to_mm + 1e-9; at += kBin_mm) {
      places.clear();
      for (double d = at; d < at + kBin_mm; d += step)
        places.push_back(map_.u0 + map_.ux * (side_mm_ + inwards_ * d));
      if (const auto level = level_at(places)) out.push_back(*level);
    }
    return out;
  }

 private:
  struct Block {
    int index;
    double y_mm;
  };

  // Mean at these columns (ascending, at least one) over all rows, following the skew.
  [[nodiscard]] std::optional<double> level_at(const std::vector<double>& places) const {
    std::uint64_t sum = 0;
    std::uint64_t count = 0;
    const auto on_image = [&](double u) { return u >= 0 && u < raster_.width_px; };
    for (const Block& block : blocks_) {
      const std::uint16_t* row = raster_.row(block.index, channel_);
      const double across = map_.uy * block.y_mm;
      if (on_image(places.front() + across) && on_image(places.back() + across)) {
        for (const double place : places) sum += row[static_cast<int>(place + across)];
        count += places.size();
        continue;
      }
      for (const double place : places) {
        const double u = place + across;
        if (!on_image(u)) continue;
        sum += row[static_cast<int>(u)];
        ++count;
      }
    }
    if (count == 0) return std::nullopt;
    return static_cast<double>(sum) / 65535.0 / static_cast<double>(count);
  }

  const PageRaster& raster_;
  const RasterFromSheet& map_;
  int channel_;
  double side_mm_;
  double inwards_;  // +1 or -1: sign of x
  std::vector<Block> blocks_;
};

// How far outside a side nothing else should be printed.
double free_outside_mm(const Chart& chart, const Patch& patch, std::size_t side) {
  const double at_mm = patch.x_mm[side];
  double room = (side == 0 ? at_mm : chart.sheet_mm[0] - at_mm) - kSheetEnd_mm;
  for (const Patch& other : chart.patches) {
    if (other.y_mm[1] <= patch.y_mm[0] || other.y_mm[0] >= patch.y_mm[1]) continue;
    const double gap = side == 0 ? at_mm - other.x_mm[1] : other.x_mm[0] - at_mm;
    if (gap >= 0) room = std::min(room, gap - kOtherPatch_mm);
  }
  return std::min(room, kOutside_mm);
}

// How far the measured points of a side lie from the map's prediction, sheet mm.
double found_off_mm(const std::vector<EdgePoint>& found, const RasterFromSheet& map, std::size_t patch,
                    std::size_t side) {
  std::vector<double> off;
  for (const EdgePoint& p : found) {
    if (p.patch != static_cast<int>(patch) || p.side != static_cast<int>(side)) continue;
    const double y_mm = (p.v - map.v0 - map.vx * p.at_mm) / map.vy;
    off.push_back((p.u - map.u(p.at_mm, y_mm)) / map.ux);
  }
  return off.empty() ? 0 : median(off);
}

// A streak at the side leaves less ink inside than farther in, or some ink outside: where it took most, its
// own border was measured as the side.
bool is_touched(const SideProfile& profile, double blurred_mm, double outside_mm) {
  if (!profile.seen()) return false;
  const auto outside = profile.levels(-outside_mm, -blurred_mm);
  const auto beside = profile.levels(blurred_mm, kBeside_mm);
  const auto farther = profile.levels(blurred_mm, kFarther_mm);
  if (outside.empty() || beside.empty() || farther.empty()) return false;
  const auto [inkiest, whitest] = std::minmax_element(outside.begin(), outside.end());
  const double inked = median(farther);
  const double step = *whitest - inked;
  if (step < kTouchedStep) return false;
  // Inside, compare densities: a fifth of a dense ink may be missing while light changes by 3 % of the step.
  constexpr double kBlack = 1e-3;
  const double palest = *std::max_element(beside.begin(), beside.end());
  const double density = std::log(*whitest / std::max(inked, kBlack));
  return std::log(std::max(palest, kBlack) / std::max(inked, kBlack)) > kMissing * density ||
         *whitest - *inkiest > kLeft * step;
}

// Narrow patches take the result of wide neighbours on the same line.
void take_from_neighbours(const Chart& chart, const std::vector<bool>& judged,
                          std::vector<std::array<bool, 2>>& touched) {
  const std::vector<std::array<bool, 2>> known = touched;
  for (std::size_t p = 0; p < known.size(); ++p) {
    if (judged[p]) continue;
    for (std::size_t side = 0; side < 2; ++side) {
      for (std::size_t q = 0; q < known.size(); ++q) {
        const bool in_line = std::abs(chart.patches[p].x_mm[side] - chart.patches[q].x_mm[side]) < kInLine_mm;
        if (judged[q] && in_line && known[q][side]) touched[p][side] = true;
      }
    }
  }
}

}  // namespace

std::vector<std::array<bool, 2>> find_touched_sides(const PageRaster& raster, const Chart& chart,
                                                    const PrintedChart& printed, const RasterFromSheet& map,
                                                    const std::vector<EdgePoint>& found, double blur_px,
                                                    int threads) {
  const double blurred_mm = std::max(kBlurred_px, kBlurs * blur_px) / std::abs(map.ux);
  std::vector<std::array<bool, 2>> out(chart.patches.size());
  std::vector<bool> judged;
  for (const Patch& patch : chart.patches)
    judged.push_back(!patch.inks.empty() && patch.x_mm[1] - patch.x_mm[0] > kNarrowest_mm);
  for_each_part(out.size(), threads, [&](std::size_t p) {
    if (!judged[p] || printed.patches[p].empty()) return;
    const Patch& patch = chart.patches[p];
    for (const std::size_t side : {0U, 1U}) {
      const double side_mm = printed.patches[p].x_mm[side] + found_off_mm(found, map, p, side);
      const SideProfile profile(raster, map, patch, printed.patches[p].channel, side_mm,
                                side == 0 ? 1.0 : -1.0);
      out[p][side] = is_touched(profile, blurred_mm, free_outside_mm(chart, patch, side));
    }
  });
  take_from_neighbours(chart, judged, out);
  return out;
}

}  // namespace scrapetrace::page
