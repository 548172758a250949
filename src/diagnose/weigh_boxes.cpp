#include "diagnose/weigh_boxes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

#include "base/parallel.h"
#include "base/quantiles.h"
#include "base/robust.h"

namespace scrapetrace::diagnose {

namespace {

// Widths at which the spread is measured, each at so many places in turn over the carriages.
constexpr std::array kWidths_px{1, 3, 10, 30};
constexpr int kPlaces = 300;
constexpr std::size_t kFewestPlaces = 16;
constexpr double kInkError = 0.1;     // of a loss, that the fit may have wrong in one ink
constexpr double kDisagree = 0.003;   // of true contacts may be missed because their inks seem to differ
constexpr double kLeastSpread = 0.6;  // a fit may claim too much noise as well as too little

// Standard deviation of what lies within 2.5 robust ones, and what a Gaussian has lost there: of twice the
// efficiency, and a streak's places do not count.
double spread_of(const std::vector<double>& values) {
  constexpr double kWithin = 2.5;
  constexpr double kLeftOfVariance = 0.91126;  // 1 - 5 phi(2.5) / (2 Phi(2.5) - 1)
  const double limit = kWithin * robust_sigma(values, 0);
  double square = 0;
  double count = 0;
  for (const double v : values) {
    if (std::abs(v) > limit) continue;
    square += v * v;
    ++count;
  }
  return count > 0 ? std::sqrt(square / count / kLeftOfVariance) : 0;
}

}  // namespace

BoxWeigher::BoxWeigher(const Layout& layout, const geometry::ColumnMap& columns,
                       const ColumnEvidence& evidence, double widest_px, int threads)
    : evidence_(evidence),
      widest_px_(widest_px),
      threads_(threads),
      by_ink_(evidence.by_ink),
      value_(evidence.value),
      spreads_(kWidths_px.size()) {
  for (std::size_t q = 0; q < layout.carriages.size(); ++q) contacts_.emplace_back(layout, columns, q);
}

PageFit::Loss BoxWeigher::touched(const CarriageBox& box) const {
  const int from = static_cast<int>(std::lround(box.middle_px - 0.5 * box.width_px));
  auto columns = contacts_[box.carriage].touched(from, from + static_cast<int>(std::lround(box.width_px)));
  return {columns.first, std::move(columns.part), std::nullopt};
}

double BoxWeigher::pull(const PageFit::Loss& loss) const {
  const std::vector<double>& value = loss.ink ? by_ink_[*loss.ink] : value_;
  double sum = 0;
  for (std::size_t k = 0; k < loss.part.size(); ++k)
    sum += loss.part[k] * value[static_cast<std::size_t>(loss.first) + k];
  return sum;
}

double BoxWeigher::claimed_z(const CarriageBox& box) const {
  const PageFit::Loss loss = touched(box);
  if (loss.part.empty()) return 0;
  const double information = evidence_.fit->information_of(loss);
  return information > 0 ? pull(loss) / std::sqrt(information) : 0;
}

std::optional<std::size_t> BoxWeigher::ink_alone(const CarriageBox& box) const {
  // In chi square: where one ink shows most of what there is to see, noise in the others makes it the better
  // explanation of one contact in ten.
  constexpr double kPlainly = 4;
  const double together = claimed_z(box);
  double most = together * together + kPlainly;
  std::optional<std::size_t> out;
  PageFit::Loss loss = touched(box);
  for (std::size_t ink = 0; ink < by_ink_.size(); ++ink) {
    loss.ink = ink;
    const double information = evidence_.fit->information_of(loss);
    if (information <= 0) continue;
    const double alone = std::pow(pull(loss), 2) / information;
    if (alone > most) most = alone, out = ink;
  }
  return out;
}

bool BoxWeigher::inks_agree(const CarriageBox& box) {
  PageFit::Loss loss = touched(box);
  const double together = evidence_.fit->information_of(loss);
  if (together <= 0) return true;
  const double model = std::pow(kInkError * pull(loss) / together, 2);
  const double wider = std::pow(spread(box.width_px), 2);
  double weight = 0;
  double mean = 0;
  double square = 0;
  int inks = 0;
  for (std::size_t ink = 0; ink < by_ink_.size(); ++ink) {
    loss.ink = ink;
    const double information = evidence_.fit->information_of(loss);
    if (information <= 0) continue;
    const double lost = pull(loss) / information;
    const double precision = 1 / (wider / information + model);
    ++inks;
    weight += precision;
    mean += precision * lost;
    square += precision * lost * lost;
  }
  if (inks < 2) return true;
  const double apart = square - mean * mean / weight;  // chi square of inks - 1 degrees of freedom
  return apart < chi_square_upper_quantile(kDisagree, inks - 1);
}

// From a narrow box wide steps may lead past a narrow hill, and small ones from a wide box up a foothill.
CarriageBox BoxWeigher::climbed(const CarriageBox& box) const {
  std::array<CarriageBox, 3> climbs;
  for_each_part(climbs.size(), threads_, [&](std::size_t k) {
    climbs[k] = climbed_from(k == 2 ? resized(box) : box, k == 0 ? 1 : 8);
  });
  return *std::max_element(climbs.begin(), climbs.end(),
                           [](const CarriageBox& a, const CarriageBox& b) { return a.z < b.z; });
}

CarriageBox BoxWeigher::resized(const CarriageBox& box) const {
  constexpr double kSmallest = 1.0 / 8;  // of the box's width
  CarriageBox best = box;
  best.z = claimed_z(box);
  const double narrowest_px = std::max(1.0, std::round(kSmallest * box.width_px));
  for (double width_px = narrowest_px; width_px <= widest_px_; width_px *= 2) {
    const double slack_px = std::abs(box.width_px - width_px);
    const double step_px = std::max(1.0, std::floor(width_px / 4));
    for (double left_px = 0; left_px <= slack_px; left_px += step_px) {
      CarriageBox next = box;
      next.width_px = width_px;
      next.middle_px += left_px - 0.5 * slack_px;
      next.z = claimed_z(next);
      if (next.z > best.z) best = next;
    }
  }
  return best;
}

CarriageBox BoxWeigher::climbed_from(CarriageBox box, double first_step_px) const {
  std::map<std::pair<double, double>, double> known;  // a step's neighbours are mostly the last one's, too
  const auto weigh = [&](CarriageBox& next) {
    const auto [at, fresh] = known.try_emplace({next.middle_px, next.width_px}, 0.0);
    if (fresh) at->second = claimed_z(next);
    next.z = at->second;
  };
  weigh(box);
  for (double step = first_step_px; step >= 1;) {
    CarriageBox best = box;
    for (const double left : {-step, 0.0, step}) {
      for (const double right : {-step, 0.0, step}) {
        CarriageBox next = box;
        next.middle_px += 0.5 * (left + right);
        next.width_px += right - left;
        if (next.width_px < 1 || next.width_px > widest_px_) continue;
        weigh(next);
        if (next.z > best.z) best = next;
      }
    }
    if (best.z <= box.z) step /= 2;
    box = best;
  }
  return box;
}

void BoxWeigher::take_out(const CarriageBox& box, std::optional<std::size_t> ink) {
  PageFit::Loss loss = touched(box);
  loss.ink = ink;
  const double information = evidence_.fit->information_of(loss);
  if (information <= 0) return;
  const double lost = pull(loss) / information;
  const auto explained = evidence_.fit->evidence_of(loss);
  for (std::size_t i = 0; i < by_ink_.size(); ++i) {
    for (std::size_t c = 0; c < value_.size(); ++c) {
      by_ink_[i][c] -= lost * explained[i][c];
      value_[c] -= lost * explained[i][c];
    }
  }
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
  std::vector<double> values(kPlaces, 0.0);
  for_each_part(values.size(), threads_, [&](std::size_t k) {
    const std::size_t q = k % contacts_.size();
    const auto& all = contacts_[q].all();
    if (all.empty()) return;
    const double part = (static_cast<double>(k) + 0.5) / kPlaces;
    const double place = all.front().place + part * (all.back().place - all.front().place);
    values[k] = claimed_z({q, std::floor(place) + 0.5 * width_px, static_cast<double>(width_px)});
  });
  std::erase(values, 0.0);
  return values.size() < kFewestPlaces ? 1 : std::max(kLeastSpread, spread_of(values));
}

}  // namespace scrapetrace::diagnose
