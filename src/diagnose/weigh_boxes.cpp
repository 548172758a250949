#include "diagnose/weigh_boxes.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/robust.h"
#include "diagnose/page_fit.h"

namespace scrapetrace::diagnose {

namespace {

// Widths at which the spread is measured, each at so many places in turn over the carriages.
constexpr std::array kWidths_px{1, 3, 10, 30};
constexpr int kPlaces = 64;
constexpr std::size_t kFewestPlaces = 16;

}  // namespace

BoxWeigher::BoxWeigher(const Layout& layout, const geometry::ColumnMap& columns,
                       const ColumnEvidence& evidence)
    : evidence_(evidence), spreads_(kWidths_px.size()) {
  for (std::size_t q = 0; q < layout.carriages.size(); ++q) contacts_.emplace_back(layout, columns, q);
}

double BoxWeigher::claimed_z(std::size_t carriage, double middle_px, double width_px) const {
  const int from = static_cast<int>(std::lround(middle_px - 0.5 * width_px));
  const auto touched = contacts_[carriage].touched(from, from + static_cast<int>(std::lround(width_px)));
  if (touched.part.empty()) return 0;
  double pull = 0;
  for (std::size_t k = 0; k < touched.part.size(); ++k)
    pull += touched.part[k] * evidence_.value[static_cast<std::size_t>(touched.first) + k];
  const double information = evidence_.fit->information_of(touched.first, touched.part);
  return information > 0 ? pull / std::sqrt(information) : 0;
}

double BoxWeigher::spread(double width_px) {
  std::size_t nearest = 0;
  for (std::size_t k = 1; k < kWidths_px.size(); ++k) {
    const auto off = [&](std::size_t w) { return std::abs(std::log(width_px / kWidths_px[w])); };
    if (off(k) < off(nearest)) nearest = k;
  }
  if (!spreads_[nearest]) spreads_[nearest] = measure_spread(kWidths_px[nearest]);
  return *spreads_[nearest];
}

double BoxWeigher::measure_spread(int width_px) const {
  std::vector<double> values;
  for (int k = 0; k < kPlaces; ++k) {
    const std::size_t q = static_cast<std::size_t>(k) % contacts_.size();
    const auto& all = contacts_[q].all();
    if (all.empty()) continue;
    const double part = (k + 0.5) / kPlaces;
    const double place = all.front().place + part * (all.back().place - all.front().place);
    const double z = claimed_z(q, std::floor(place) + 0.5 * width_px, width_px);
    if (z != 0) values.push_back(z);
  }
  return values.size() < kFewestPlaces ? 1 : std::max(1.0, robust_sigma(values, 0));
}

}  // namespace scrapetrace::diagnose
