#include "jets/combs.h"

#include <algorithm>
#include <iterator>
#include <numbers>

#include "base/gaussian.h"
#include "geometry/frames.h"

namespace scrapetrace::jets {

namespace {

// Integral of the normal distribution function: z Phi(z) + phi(z).
double ramp(double z) {
  return z * gaussian_share(z) + gaussian_density(z);
}

constexpr std::size_t kFarthest = 40;      // jets after one that its columns can meet
constexpr double kStep_blurs = 1.0 / 128;  // of the tables: off by 1e-5 of the function's height at most

double blurred_box(double x, double half, double blur) {
  return gaussian_share((x + half) / blur) - gaussian_share((x - half) / blur);
}

// Two boxes, blurred twice: the second difference of the integral of Phi at sqrt(2) blur.
double boxes_overlap(double x, double width, double blur) {
  const double twice = std::numbers::sqrt2 * blur;
  return twice * (ramp((x + width) / twice) - 2 * ramp(x / twice) + ramp((x - width) / twice));
}

// Sum over pairs of columns of two jets, each jet's in ascending order.
double overlap_of(const std::vector<double>& a, const std::vector<double>& b, const ColumnSpread& spread) {
  const double reach = 2 * spread.reach_mm();
  double sum = 0;
  std::size_t first = 0;
  for (const double x : a) {
    while (first < b.size() && b[first] <= x - reach) ++first;
    for (std::size_t k = first; k < b.size() && b[k] < x + reach; ++k) sum += spread.overlap(b[k] - x);
  }
  return sum;
}

// Of jet i with those that come after it, by `of(j)`; at a seam jets of two heads mingle, so the first that
// it does not meet need not be the last.
template <class Overlap>
std::vector<double> overlaps(std::size_t i, std::size_t jets, const Overlap& of) {
  std::vector<double> out(1, 0.0);
  for (std::size_t j = i; j < std::min(jets, i + kFarthest); ++j) {
    const double sum = of(j);
    if (sum == 0) continue;
    out.resize(j - i + 1, 0.0);
    out.back() = sum;
  }
  return out;
}

}  // namespace

ColumnSpread::ColumnSpread(double column_mm, double blur_mm)
    : reach_mm_(column_mm / 2 + 4 * blur_mm),
      weight_([=](double x) { return blurred_box(x, column_mm / 2, blur_mm); }, reach_mm_,
              kStep_blurs * blur_mm),
      overlap_([=](double x) { return boxes_overlap(x, column_mm, blur_mm); }, 2 * reach_mm_,
               kStep_blurs * blur_mm) {}

Combs make_combs(const geometry::Machine& machine, const ColumnSpread& spread) {
  Combs out;
  for (std::size_t head = 0; head < machine.layout.heads.size(); ++head) {
    for (int jet = 0; jet < machine.layout.heads[head].jets; ++jet) {
      std::vector<double> centres;
      for (const int column : geometry::columns_of_jet(machine.layout, machine.columns, head, jet))
        centres.push_back(
            geometry::drum_x_of_column(machine.layout, column, machine.layout.heads[head].carriage));
      std::sort(centres.begin(), centres.end());
      if (!centres.empty()) out.jets.push_back(std::move(centres));
    }
  }
  for (std::size_t i = 0; i < out.jets.size(); ++i) {
    out.overlap.push_back(overlaps(
        i, out.jets.size(), [&](std::size_t j) { return overlap_of(out.jets[i], out.jets[j], spread); }));
  }
  return out;
}

Combs seen_combs(const Combs& all, const std::function<bool(double)>& seen, const ColumnSpread& spread) {
  Combs out;
  struct Kept {
    std::size_t jet;  // of all
    bool whole;
  };
  std::vector<Kept> kept;
  for (std::size_t jet = 0; jet < all.jets.size(); ++jet) {
    std::vector<double> centres;
    std::copy_if(all.jets[jet].begin(), all.jets[jet].end(), std::back_inserter(centres), seen);
    if (centres.empty()) continue;
    kept.push_back({jet, centres.size() == all.jets[jet].size()});
    out.jets.push_back(std::move(centres));
  }
  for (std::size_t i = 0; i < kept.size(); ++i) {
    out.overlap.push_back(overlaps(i, kept.size(), [&](std::size_t j) {
      const std::size_t apart = kept[j].jet - kept[i].jet;
      if (!kept[i].whole || !kept[j].whole || apart >= kFarthest)
        return overlap_of(out.jets[i], out.jets[j], spread);
      const auto& known = all.overlap[kept[i].jet];
      return apart < known.size() ? known[apart] : 0.0;
    }));
  }
  return out;
}

}  // namespace scrapetrace::jets
