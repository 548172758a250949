#include "score/loss_integral.h"

#include <algorithm>
#include <cmath>

#include "base/gaussian.h"
#include "score/priors.h"

namespace scrapetrace::score {

namespace {

constexpr double kLeastLoss = 0.002;
constexpr double kMostLoss = 0.985;
constexpr double kSettled = 0.02;  // of a standard deviation

// log of the mass of N(mean, sigma) in [from, to], also far out in a tail.
double log_normal_mass(double from, double to, double mean, double sigma) {
  double a = (from - mean) / sigma;
  double b = (to - mean) / sigma;
  if (a > 0) {  // the mirror image keeps erfc's digits
    std::swap(a, b);
    a = -a;
    b = -b;
  }
  if (b < -30) return -0.5 * b * b - std::log(-b * std::sqrt(2 * M_PI));
  const double mass = gaussian_share(b) - gaussian_share(a);
  return std::log(std::max(mass, 1e-300));
}

double log_add(double a, double b) {
  const double most = std::max(a, b);
  return most + std::log(std::exp(a - most) + std::exp(b - most));
}

}  // namespace

LossIntegral integrate_loss(const IdealLikelihood& likelihood, const White& data,
                            const geometry::TouchCounts& touches, double start, int most_steps) {
  double loss = std::clamp(start, kLeastLoss, kMostLoss);
  double chi_square = 0;
  double information = 1;
  double step = 0;
  for (int k = 0; k < most_steps; ++k) {
    const Scrape scrape{touches, loss};
    const White model = likelihood.whiten(likelihood.signal(scrape));
    const White slope = likelihood.whiten(likelihood.slope(scrape));
    const White rest{data.own - model.own, data.shared - model.shared};
    chi_square = rest.dot(rest);
    information = std::max(slope.dot(slope), 1e-6);
    step = slope.dot(rest) / information;
    const double next = std::clamp(loss + step, kLeastLoss, kMostLoss);
    if (std::abs(next - loss) * std::sqrt(information) < kSettled || k + 1 == most_steps) break;
    // Half a long step: far from the top the curve is no parabola.
    loss = std::abs(step) > 0.3 ? 0.5 * (loss + next) : next;
  }
  // The top of the parabola at the last place.
  LossIntegral out;
  out.loss = std::clamp(loss + step, kLeastLoss, kMostLoss);
  const double least_chi_square = chi_square - step * step * information;
  const double sigma = 1 / std::sqrt(information);
  const double body = -0.5 * least_chi_square + std::log(sigma * std::sqrt(2 * M_PI));
  for (const LossRange& range : {kOrdinaryLoss, kLowLoss}) {
    const double density = range.weight / (range.to - range.from);
    out.log_value = log_add(
        out.log_value, body + std::log(density) + log_normal_mass(range.from, range.to, loss + step, sigma));
  }
  return out;
}

}  // namespace scrapetrace::score
