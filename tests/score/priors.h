#pragma once
// How residue is drawn, for the draws and for the ideal reader. A target is drawn by its zone's prior, then a
// point evenly in the zone; the contact lies around that point, any part of it alike. So (left end, width,
// target) has the prior density prior_density * overlap(contact, zone) / width.

#include <algorithm>
#include <cmath>
#include <vector>

#include "geometry/zones.h"
#include "score/case_record.h"

namespace scrapetrace::score {

inline constexpr double kNarrowest_mm = 0.3;  // widths are log-uniform
inline constexpr double kWidest_mm = 4.0;

struct LossRange {
  double from = 0;
  double to = 1;
  double weight = 1;  // of all that the ideal reader has to expect
};

inline constexpr LossRange kOrdinaryLoss{0.15, 0.9, 0.75};
inline constexpr LossRange kLowLoss{0.02, 0.12, 0.25};
inline constexpr LossRange kEvidenceLoss{0.005, 0.12, 0};  // log-uniform; the ideal reader is not asked

// Of a mixed run, by CaseKind.
inline const std::vector<double>& kind_weights() {
  static const std::vector<double> weights{0.41, 0.15, 0.12, 0.04, 0.03, 0.17, 0.08};
  return weights;
}

// Per mm of width.
inline double width_density(double width_mm) {
  if (width_mm < kNarrowest_mm || width_mm > kWidest_mm) return 0;
  return 1 / (width_mm * std::log(kWidest_mm / kNarrowest_mm));
}

// Per mm of the left end, for a contact [left, left + width) of the zone's carriage.
inline double place_density(const geometry::TargetZone& zone, double left_mm, double width_mm) {
  const double overlap = std::min(left_mm + width_mm, zone.to_mm) - std::max(left_mm, zone.from_mm);
  return overlap > 0 ? zone.prior_density * overlap / width_mm : 0;
}

}  // namespace scrapetrace::score
