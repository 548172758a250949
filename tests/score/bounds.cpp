#include "score/bounds.h"

#include <array>
#include <cmath>

#include "score/ideal_reader.h"

namespace scrapetrace::score {

namespace {

using Traces = std::vector<Eigen::VectorXd>;

Traces change(const Traces& a, const Traces& b, double divisor) {
  Traces out;
  for (std::size_t p = 0; p < a.size(); ++p) out.push_back((a[p] - b[p]) / divisor);
  return out;
}

}  // namespace

double matched_d_prime(const IdealLikelihood& unscraped, const Scrape& scrape) {
  const White h = unscraped.whiten(change(unscraped.signal(scrape), unscraped.signal({}), 1));
  return std::sqrt(std::max(0.0, h.dot(h)));
}

double position_bound_mm(const IdealLikelihood& likelihood, const Residue& truth) {
  const Layout& layout = *likelihood.view().layout;
  const geometry::ColumnMap columns(layout);
  const double px = layout.px_mm();
  const auto moved = [&](double left, double right) {
    Residue r = truth;
    r.x_mm += left;
    r.width_mm += right - left;
    return likelihood.signal(scrape_of(layout, columns, r));
  };
  const std::array<White, 3> slopes{likelihood.whiten(change(moved(px, 0), moved(-px, 0), 2 * px)),
                                    likelihood.whiten(change(moved(0, px), moved(0, -px), 2 * px)),
                                    likelihood.whiten(likelihood.slope(scrape_of(layout, columns, truth)))};
  Eigen::Matrix3d information;
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j)
      information(i, j) = slopes[static_cast<std::size_t>(i)].dot(slopes[static_cast<std::size_t>(j)]);
  }
  const Eigen::Vector3d middle(0.5, 0.5, 0);
  const double variance = middle.dot(information.ldlt().solve(middle));
  return std::sqrt(std::max(0.0, variance) + px * px / 24);
}

}  // namespace scrapetrace::score
