#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "base/robust.h"
#include "diagnose/blend.h"
#include "diagnose/pool.h"
#include "diagnose/scene.h"

namespace scrapetrace::diagnose {

namespace {

using profile::InkView;

constexpr double kLeastJetSigma = 0.002;
constexpr double kLargestJetSigma = 0.10;
constexpr double kDefaultStripShare = 0.3;  // of the variance, when one strip alone is seen

// Standard deviations of one strip's own noise: all of it, and the part that changes from sample to sample;
// what lies between is mottle, with its correlation length.
struct StripNoise {
  double all = -1;  // -1: fewer than two strips to compare
  double fine = 0;
  double mottle_mm = 3;
  [[nodiscard]] double mottle() const { return std::sqrt(std::max(0.0, all * all - fine * fine)); }
};

// Standard deviation of the change of the strips' differences over a lag, per strip: sqrt(C(0) - C(lag)) of
// the covariance C of one strip's own noise.
double change_over(const PreparedScan& scan, const std::vector<const InkView*>& views, int lag) {
  std::vector<double> changes;
  for (std::size_t k = 0; k + 1 < views.size(); ++k) {
    const auto& a = scan.strips.strips[views[k]->strip];
    const auto& b = scan.strips.strips[views[k + 1]->strip];
    const auto difference = [&](int i) {
      const auto s = static_cast<std::size_t>(i);
      return static_cast<double>(views[k]->loss[s]) - static_cast<double>(views[k + 1]->loss[s]);
    };
    for (int i = std::max(a.from, b.from); i + lag < std::min(a.to, b.to); i += 3)
      changes.push_back(difference(i) - difference(i + lag));
  }
  return changes.size() < 50 ? 0 : robust_sigma(changes, 0) / 2;
}

// Length L for which 1 - exp(-d^2 / (2 L^2)) follows the strips' changes over lags d best (least squares over
// a list of lengths).
double mottle_length(const PreparedScan& scan, const std::vector<const InkView*>& views,
                     const StripNoise& noise) {
  const double variance = std::pow(noise.mottle(), 2);
  double best = 3;
  if (variance < 0.01 * noise.all * noise.all) return best;
  std::vector<std::pair<double, double>> seen;  // lag in millimetres, part of the mottle that has changed
  for (const double lag_mm : {0.7, 1.2, 2.0, 3.0, 5.0}) {
    const int lag = std::max(4, static_cast<int>(std::lround(lag_mm / scan.strips.grid.pitch_mm)));
    const double change = change_over(scan, views, lag);
    seen.emplace_back(lag * scan.strips.grid.pitch_mm,
                      (change * change - noise.fine * noise.fine) / variance);
  }
  double least = 1e300;
  for (const double length : {0.7, 1.0, 1.4, 2.0, 2.8, 4.0, 5.6, 8.0}) {
    double sum = 0;
    for (const auto& [d, part] : seen)
      sum += std::pow(part - 1 + std::exp(-0.5 * d * d / (length * length)), 2);
    if (sum < least) least = sum, best = length;
  }
  return best;
}

StripNoise strip_noise(const PreparedScan& scan, const std::vector<const InkView*>& views) {
  constexpr int kApart = 3;  // samples: farther than the blur reaches
  std::vector<double> differences;
  for (std::size_t k = 0; k + 1 < views.size(); ++k) {
    const auto& a = scan.strips.strips[views[k]->strip];
    const auto& b = scan.strips.strips[views[k + 1]->strip];
    for (int i = std::max(a.from, b.from); i < std::min(a.to, b.to); i += 3) {
      const auto s = static_cast<std::size_t>(i);
      differences.push_back(static_cast<double>(views[k]->loss[s]) -
                            static_cast<double>(views[k + 1]->loss[s]));
    }
  }
  if (differences.size() < 50) return {};
  StripNoise noise;
  noise.all = robust_sigma(differences, 0) / std::sqrt(2.0);
  noise.fine = std::min(noise.all, change_over(scan, views, kApart));
  noise.mottle_mm = mottle_length(scan, views, noise);
  return noise;
}

// The views nearly as wide as the widest.
std::vector<const InkView*> widest(const PreparedScan& scan, const std::vector<const InkView*>& views) {
  const auto length = [&](const InkView* v) {
    return scan.strips.strips[v->strip].to - scan.strips.strips[v->strip].from;
  };
  int most = 0;
  for (const InkView* v : views) most = std::max(most, length(v));
  std::vector<const InkView*> out;
  for (const InkView* v : views) {
    if (length(v) >= 0.9 * most) out.push_back(v);
  }
  return out;
}

double mean_sigma(const PreparedScan& scan, const std::vector<const InkView*>& views) {
  std::vector<double> mean;
  int from = 0;
  int to = scan.strips.grid.size;
  for (const InkView* v : views) {
    from = std::max(from, scan.strips.strips[v->strip].from);
    to = std::min(to, scan.strips.strips[v->strip].to);
  }
  for (int i = from; i < to; ++i) {
    double sum = 0;
    for (const InkView* v : views) sum += static_cast<double>(v->loss[static_cast<std::size_t>(i)]);
    mean.push_back(sum / static_cast<double>(views.size()));
  }
  return robust_sigma(mean, median(mean));
}

// Variance of a sample per unit variance of the jets: sum over jets of (sum of that jet's weights)^2,
// averaged over a stretch in the middle of the print.
double jet_variance_factor(const Layout& layout, const geometry::ColumnMap& columns,
                           const PreparedScan& scan) {
  const auto printed = columns.printed();
  const int middle = (printed.first + printed.last) / 2;
  const int reach = 100;
  std::vector<double> edges;
  std::vector<geometry::Owner> owners;
  const double px = layout.px_mm();
  for (int c = std::max(printed.first, middle - reach); c <= std::min(printed.last, middle + reach); ++c) {
    owners.push_back(columns.owner(c));
    edges.push_back(c * px);
  }
  edges.push_back(edges.back() + px);
  std::vector<double> x_mm;
  for (double x = edges.front() + 10 * px; x < edges.back() - 10 * px; x += scan.strips.grid.pitch_mm)
    x_mm.push_back(x);
  const Blend blend = make_blend(edges, x_mm, 0, scan.blur_px * scan.strips.grid.pitch_mm);
  double total = 0;
  for (std::size_t i = 0; i < x_mm.size(); ++i) {
    std::map<std::pair<int, int>, double> by_jet;
    for (std::size_t k = 0; k < blend.weight[i].size(); ++k) {
      const auto& owner = owners[static_cast<std::size_t>(blend.first[i]) + k];
      by_jet[{owner.head, owner.jet}] += blend.weight[i][k];
    }
    for (const auto& [jet, w] : by_jet) total += w * w;
  }
  return x_mm.empty() ? 1 : std::max(0.02, total / static_cast<double>(x_mm.size()));
}

}  // namespace

std::map<int, std::vector<const InkView*>> views_by_ink(const PreparedScan& scan) {
  std::map<int, std::vector<const InkView*>> single;
  std::map<int, std::vector<const InkView*>> any;
  for (const InkView& v : scan.views.inked) {
    any[v.ink].push_back(&v);
    if (v.single_ink) single[v.ink].push_back(&v);
  }
  for (const auto& [ink, views] : single) any[ink] = views;
  for (auto& [ink, views] : any) {
    keep_one_coverage(scan, views);
    views = widest(scan, views);
  }
  return any;
}

std::vector<InkNoise> measure_ink_noise(const Layout& layout, const geometry::ColumnMap& columns,
                                        const PreparedScan& scan) {
  const double factor = jet_variance_factor(layout, columns, scan);
  std::vector<InkNoise> out;
  for (const auto& [ink, views] : views_by_ink(scan)) {
    const double total = std::pow(mean_sigma(scan, views), 2);
    StripNoise strips = strip_noise(scan, views);
    const auto n = static_cast<double>(views.size());
    if (strips.all < 0) strips.all = strips.fine = std::sqrt(kDefaultStripShare * total * n);
    const double jets = std::max(0.0, total - strips.all * strips.all / n) / factor;
    out.push_back({ink, std::clamp(std::sqrt(jets), kLeastJetSigma, kLargestJetSigma),
                   std::max(strips.fine, 5e-4), strips.mottle(), strips.mottle_mm});
  }
  if (!scan.views.paper.empty()) {
    std::vector<const InkView*> paper;
    for (const InkView& v : scan.views.paper) paper.push_back(&v);
    const double sigma = mean_sigma(scan, paper) * std::sqrt(static_cast<double>(paper.size()));
    out.push_back({-1, 0, std::max(std::numbers::ln10 * sigma, 1e-3)});
  }
  return out;
}

}  // namespace scrapetrace::diagnose
