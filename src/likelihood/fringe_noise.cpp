#include "likelihood/fringe_noise.h"

#include <algorithm>

#include "base/robust.h"

namespace scrapetrace::diagnose {

namespace {

// Mean loss over the views, weighted by rows, where all of them show it.
std::vector<double> mean_loss(const profile::PreparedScan& scan, const Pool& pool) {
  int from = 0;
  int to = scan.strips.grid.size;
  double rows = 0;
  for (const profile::InkView* view : pool.views) {
    const profile::Strip& strip = scan.strips.strips[view->strip];
    from = std::max(from, strip.from);
    to = std::min(to, strip.to);
    rows += strip.rows;
  }
  std::vector<double> out;
  for (int i = from; i < to; ++i) {
    double sum = 0;
    for (const profile::InkView* view : pool.views)
      sum +=
          scan.strips.strips[view->strip].rows * static_cast<double>(view->loss[static_cast<std::size_t>(i)]);
    out.push_back(sum / rows);
  }
  return out;
}

}  // namespace

// Divided by the whole length at every distance, the estimate stays a covariance.
std::vector<double> covariance_with_fringes(const profile::PreparedScan& scan, const Pool& pool) {
  constexpr double kMost_sigmas = 3;
  const bool evened =
      std::any_of(pool.views.begin(), pool.views.end(), [](const auto* view) { return view->evened; });
  if (!evened) return {};
  std::vector<double> loss = mean_loss(scan, pool);
  const double middle = median(loss);
  const double most = kMost_sigmas * robust_sigma(loss, middle);
  for (double& l : loss) l = std::clamp(l - middle, -most, most);
  std::vector<double> out(static_cast<std::size_t>(pool.to - pool.from), 0.0);
  for (std::size_t apart = 0; apart < std::min(out.size(), loss.size()); ++apart) {
    for (std::size_t i = apart; i < loss.size(); ++i) out[apart] += loss[i] * loss[i - apart];
    out[apart] /= static_cast<double>(loss.size());
  }
  return out;
}

}  // namespace scrapetrace::diagnose
