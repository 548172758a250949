#include "likelihood/trace_noise.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <numbers>

namespace scrapetrace::diagnose {

using profile::dot_density;

namespace {

constexpr double kLeastSignalSigma = 5e-5;  // of the signal over paper: rounding of the raster and worse
constexpr double kBlindVariance = 100.0;    // of a sample without weight: ten times full scale, squared
constexpr double kOrdinaryChange = 0.03;    // of the signal: what jets' variation makes
constexpr double kRepeatError = 0.15;       // of what stood there before, from scan to scan
constexpr double kRepeatPlace_px = 0.3;
constexpr double kLeastPaperSigma = 2e-3;  // bare paper is never more even than this across a sheet

double beyond(double change, double ordinary) {
  return std::max(0.0, std::abs(change) - ordinary);
}

// Sensitivity of a cell's signal to the relative amount of its ink, at the amount that the scan shows there.
std::vector<double> sensitivity(const Trace& trace, const Scene& scene) {
  std::vector<double> out;
  for (std::size_t c = 0; c < scene.cells.size(); ++c) {
    const double d0 = trace.density[c];
    const double seen =
        dot_density(sample_at(trace.x_mm, trace.value, scene.cells[c].middle_mm()), trace.coverage);
    const double kept = std::clamp(seen / std::max(d0, 0.02), 0.0, 1.1);
    out.push_back(trace.coverage * std::numbers::ln10 * d0 * kept * std::pow(10.0, -d0 * kept));
  }
  return out;
}

// Ink spreads into a gap between heads, and light from it spreads in paper and lens: neither is modelled.
// Part of the gap's light, by exponential wings.
double spilled(const Scene& scene, const Trace& trace, std::size_t sample) {
  constexpr double kPart = 0.1;
  constexpr double kWing_mm = 0.1;
  if (trace.ink < 0) return 0;
  const double base = trace.base[sample];
  double sum = 0;
  for (const Cell& cell : scene.cells) {
    if (cell.layers == 1) continue;
    const double light = cell.layers == 0 ? 1 - base : base * (1 - base);
    const double away_mm = std::abs(cell.middle_mm() - trace.x_mm[sample]);
    sum += kPart * light * (cell.to_mm - cell.from_mm) * std::exp(-away_mm / kWing_mm) / (2 * kWing_mm);
  }
  return sum;
}

// The samples' own covariance; blind samples get no weight.
void add_samples(const Scene& scene, const Eigen::MatrixXd& own, Trace& trace) {
  for (std::size_t i = 0; i < trace.value.size(); ++i) {
    const auto row = static_cast<Eigen::Index>(i);
    for (std::size_t j = 0; j <= i; ++j) trace.noise->add(i, j, own(row, static_cast<Eigen::Index>(j)));
    const bool blind =
        trace.blind[i] || std::any_of(scene.blind_mm.begin(), scene.blind_mm.end(), [&](const Interval& b) {
          return trace.x_mm[i] >= b.from_mm && trace.x_mm[i] <= b.to_mm;
        });
    if (blind) trace.noise->add(i, i, kBlindVariance);
    trace.noise->add(i, i, std::pow(spilled(scene, trace, i), 2));
  }
}

}  // namespace

double sample_at(const std::vector<double>& x, const std::vector<double>& y, double at) {
  const double step = x.size() > 1 ? x[1] - x[0] : 1;
  const double position = std::clamp((at - x[0]) / step, 0.0, static_cast<double>(x.size() - 1));
  const auto i = std::min(static_cast<std::size_t>(position), x.size() - 1);
  const auto j = std::min(i + 1, x.size() - 1);
  const double t = position - static_cast<double>(i);
  return y[i] * (1 - t) + y[j] * t;
}

Eigen::MatrixXd sample_covariance(const InkNoise& noise, double strips, double scans,
                                  const SceneOptions& options, const Trace& trace) {
  const std::size_t n = trace.value.size();
  const double model_error = trace.ink < 0 ? options.paper_model_error : options.model_error;
  std::vector<double> slope;
  for (const double base : trace.base) {
    slope.push_back(trace.ink < 0 ? base : std::numbers::ln10 * profile::density_of(base) * base);
  }
  Eigen::MatrixXd out(n, n);
  const bool fringes = !trace.with_fringes.empty();
  const double mottle = noise.mottle_sigma * noise.mottle_sigma / strips;
  for (std::size_t i = 0; i < n; ++i) {
    const auto row = static_cast<Eigen::Index>(i);
    for (std::size_t j = 0; j <= i; ++j) {
      const double d = (trace.x_mm[i] - trace.x_mm[j]) / noise.mottle_mm;
      const auto column = static_cast<Eigen::Index>(j);
      const double slow = fringes ? scans * trace.with_fringes[i - j] : mottle * std::exp(-0.5 * d * d);
      out(row, column) = out(column, row) = slow * slope[i] * slope[j];
    }
    const double own = fringes ? 0 : noise.strip_sigma * slope[i];
    const double least = trace.ink < 0 ? kLeastPaperSigma : kLeastSignalSigma;
    const double model = model_error * (trace.value[i] - trace.base[i]);
    const double rise = 0.5 * (trace.value[std::min(i + 1, n - 1)] - trace.value[i > 0 ? i - 1 : 0]);
    const double place = options.place_error_px * rise;
    out(row, row) += own * own / strips + scans * (model * model + place * place) + least * least;
  }
  return out;
}

void set_noise(const Scene& scene, const Blend& blend, const InkNoise& noise, double scans,
               const Eigen::MatrixXd& own, Trace& trace) {
  const std::size_t n = trace.value.size();
  std::map<std::array<int, 3>, std::map<std::size_t, double>> by_jet;
  if (trace.ink >= 0 && trace.with_fringes.empty()) {  // where fringes are, what they leave holds the jets
    const auto g = sensitivity(trace, scene);
    for (std::size_t i = 0; i < n; ++i) {
      for (std::size_t k = 0; k < blend.weight[i].size(); ++k) {
        const auto c = static_cast<std::size_t>(blend.first[i]) + k;
        const auto& owner = scene.cells[c].owner;
        if (owner.nobody()) continue;
        const int column = trace.jets_in_place ? 0 : scene.cells[c].column;
        by_jet[{owner.head, owner.jet, column}][i] += blend.weight[i][k] * g[c];
      }
    }
  }
  trace.noise = std::make_shared<BandedCholesky>(n, n - 1);
  // Jets repeat on every sheet: with S scans their part counts S times, so that the sum over scans weighs the
  // mean over scans by J + N / S.
  const double jet_variance = noise.jet_sigma * noise.jet_sigma * scans;
  for (const auto& [jet, weights] : by_jet) {
    for (const auto& [i, wi] : weights) {
      for (const auto& [j, wj] : weights) {
        if (j > i) break;
        trace.noise->add(i, j, jet_variance * wi * wj);
      }
    }
  }
  add_samples(scene, own, trace);
}

void take_out_pattern(const Scene& scene, const Pattern& pattern, const std::vector<double>& kept,
                      double scans, const Eigen::MatrixXd& own, Trace& trace) {
  const std::size_t n = trace.value.size();
  const Eigen::MatrixXd w = pattern.weights(scene, trace, kept);
  const Eigen::VectorXd shown = w * pattern.mean();
  const Eigen::MatrixXd unsure = scans * (w * pattern.covariance() * w.transpose());
  trace.noise = std::make_shared<BandedCholesky>(n, n - 1);
  const auto last = static_cast<Eigen::Index>(n) - 1;
  for (std::size_t i = 0; i < n; ++i) {
    const auto row = static_cast<Eigen::Index>(i);
    trace.value[i] -= shown[row];
    for (std::size_t j = 0; j <= i; ++j) trace.noise->add(i, j, unsure(row, static_cast<Eigen::Index>(j)));
    // No two scans are equally sharp and equally placed: of what stood there before, part comes back.
    const double strong = beyond(shown[row], kOrdinaryChange);
    const double rise = 0.5 * (shown[std::min(row + 1, last)] - shown[std::max(row - 1, Eigen::Index{0})]);
    const double steep = beyond(rise, kOrdinaryChange);
    trace.noise->add(i, i, std::pow(kRepeatError * strong, 2) + std::pow(kRepeatPlace_px * steep, 2));
  }
  add_samples(scene, own, trace);
}

void set_nuisance(Trace& trace) {
  const double middle = 0.5 * (trace.x_mm.front() + trace.x_mm.back());
  const double half = std::max(1e-9, 0.5 * (trace.x_mm.back() - trace.x_mm.front()));
  for (int power = 0; power < 2; ++power) {
    std::vector<double> v(trace.value.size());
    for (std::size_t i = 0; i < v.size(); ++i) {
      const double level = trace.ink < 0 ? trace.base[i] : trace.base[i] * profile::density_of(trace.base[i]);
      v[i] = level * (power == 0 ? 1.0 : (trace.x_mm[i] - middle) / half);
    }
    trace.noise->whiten(v);
    for (const auto& other : trace.nuisance) {
      double dot = 0;
      for (std::size_t i = 0; i < v.size(); ++i) dot += v[i] * other[i];
      for (std::size_t i = 0; i < v.size(); ++i) v[i] -= dot * other[i];
    }
    double norm = 0;
    for (double x : v) norm += x * x;
    if (norm <= 0) continue;
    for (double& x : v) x /= std::sqrt(norm);
    trace.nuisance.push_back(std::move(v));
  }
}

}  // namespace scrapetrace::diagnose
