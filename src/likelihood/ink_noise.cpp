#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numbers>

#include "base/parallel.h"
#include "base/robust.h"
#include "likelihood/blend.h"
#include "likelihood/pool.h"
#include "likelihood/scene.h"
#include "likelihood/strip_noise.h"

namespace scrapetrace::diagnose {

namespace {

using profile::InkView;

constexpr double kLeastJetSigma = 0.002;
constexpr double kLargestJetSigma = 0.10;
constexpr double kDefaultStripShare = 0.3;  // of the variance, when one strip alone is seen

// The views nearly as wide as the widest.
std::vector<const InkView*> widest(const profile::PreparedScan& scan,
                                   const std::vector<const InkView*>& views) {
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

double mean_sigma(const profile::PreparedScan& scan, const std::vector<const InkView*>& views) {
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
double jet_variance_factor(const geometry::Machine& machine, const profile::PreparedScan& scan) {
  const auto printed = machine.columns.printed();
  const int middle = (printed.first + printed.last) / 2;
  const int reach = 100;
  std::vector<double> edges;
  std::vector<geometry::Owner> owners;
  const double px = machine.layout.px_mm();
  for (int c = std::max(printed.first, middle - reach); c <= std::min(printed.last, middle + reach); ++c) {
    owners.push_back(machine.columns.owner(c));
    edges.push_back(c * px);
  }
  edges.push_back(edges.back() + px);
  std::vector<double> x_mm;
  for (double x = edges.front() + 10 * px; x < edges.back() - 10 * px; x += scan.strips.grid.pitch_mm)
    x_mm.push_back(x);
  const Blend blend = make_blend(edges, x_mm, 0, mean_spread(scan));
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

std::map<int, std::vector<const InkView*>> views_by_ink(const profile::PreparedScan& scan) {
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

std::vector<InkNoise> measure_ink_noise(const geometry::Machine& machine, const profile::PreparedScan& scan,
                                        int threads) {
  const double factor = jet_variance_factor(machine, scan);
  std::vector<InkNoise> out;
  const auto inked = views_by_ink(scan);
  const auto compared = compare_strips(scan, inked, threads);
  std::vector<double> sigmas(inked.size());
  for_each_part(inked.size(), threads, [&](std::size_t k) {
    sigmas[k] = mean_sigma(scan, std::next(inked.begin(), static_cast<std::ptrdiff_t>(k))->second);
  });
  for (const auto& [ink, views] : inked) {
    const double total = std::pow(sigmas[out.size()], 2);
    const auto n = static_cast<double>(views.size());
    const auto own_strips = compared.find(ink);
    const StripNoise strips = own_strips != compared.end()
                                  ? own_strips->second
                                  : StripNoise{std::sqrt(kDefaultStripShare * total * n)};
    const double own = (strips.fine * strips.fine + strips.slow * strips.slow) / n;
    const double jets = std::max(0.0, total - own) / factor;
    out.push_back({ink, std::clamp(std::sqrt(jets), kLeastJetSigma, kLargestJetSigma),
                   std::max(strips.fine, 5e-4), strips.mottle, strips.mottle_mm});
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
