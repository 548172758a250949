#pragma once
// Seams of carriages that stand off from each other, as a patch's samples see them: a gap shows paper, an
// overlap holds ink twice. How much the layout says. Ink that spreads, light that wanders in paper and lens,
// and offsets known to some hundredths of a millimetre make it differ; the ways it is likely to differ in are
// unknowns of a page's fit, one of each for every view.

#include <array>
#include <cstddef>
#include <vector>

#include "diagnose/point_spread.h"
#include "geometry/column_map.h"
#include "profile/strips.h"

namespace scrapetrace::diagnose {

constexpr std::size_t kSeamShapes = 5;

class SeamLight {
 public:
  struct Sample {
    std::size_t number = 0;  // on the grid
    std::size_t step = 0;    // the one near it
    double bare = 0;         // part of the sample that nobody laid, by the layout; negative: laid twice
    std::array<double, kSeamShapes> differs{};  // by one standard deviation of each way to differ
  };

  // A step that the layout has, and how far right of there the scan is known to show it.
  struct Step {
    geometry::SeamEnds ends;
    double moved_mm = 0;
    [[nodiscard]] double middle_mm() const { return 0.5 * (ends.left_mm + ends.right_mm) + moved_mm; }
    [[nodiscard]] bool overlap() const { return ends.gap_mm() < 0; }
  };

  SeamLight() = default;
  // Through the point spread of the patch's samples. Which samples are near a step does not depend on how far
  // it moved, nor on the spread.
  SeamLight(std::vector<Step> steps, const profile::Grid& grid, const PointSpread& spread);

  [[nodiscard]] const std::vector<Step>& steps() const { return steps_; }
  // All of them near a step, from left to right.
  [[nodiscard]] const std::vector<Sample>& samples() const { return samples_; }
  // Null: no step is near.
  [[nodiscard]] const Sample* at(std::size_t sample) const {
    return sample >= number_.size() || number_[sample] == 0 ? nullptr : &samples_[number_[sample] - 1];
  }

 private:
  std::vector<Step> steps_;
  std::vector<Sample> samples_;
  std::vector<std::size_t> number_;  // per sample of the grid, from 1 on
};

// How far a step lies right of where it was taken for, if it differs so.
double moved_mm(const std::array<double, kSeamShapes>& differs);

// Losses beside steps are those of a straight response to light, (T / T_ink - 1) / (ln 10 D): what a step is
// off by adds light, not ink, and more of it than a scrape does. The logarithm's own loss turned into that,
// for an ink of density `level`:
double straight_loss(double loss, double level);
// What a step that takes all of a sample shows, where ink of that density is laid beside.
double straight_loss_of_step(double level, bool overlap);

}  // namespace scrapetrace::diagnose
