#pragma once
// A scene made by hand, and the same numbers as dense matrices of Eigen.

#include <Eigen/Cholesky>
#include <Eigen/Dense>
#include <Eigen/QR>
#include <cmath>
#include <memory>
#include <random>

#include "likelihood/likelihood.h"

namespace scrapetrace::testing {

struct ToyScene {
  Layout layout;
  diagnose::Scene scene;
  std::vector<Eigen::MatrixXd> covariance;  // per trace
  std::vector<Eigen::MatrixXd> nuisance;    // per trace: offset and slope, not whitened
};

// Cells of columns 100 to 141, a jet every fourth column; samples 0.085 mm apart.
constexpr int kToyCells = 42;
constexpr double kToyPx_mm = 0.0635;

inline void add_toy_trace(int ink, double coverage, std::vector<double> share, double density,
                          std::mt19937& random, ToyScene& toy) {
  diagnose::Trace trace;
  trace.ink = ink;
  trace.coverage = coverage;
  trace.share = std::move(share);
  trace.spread = diagnose::PointSpread(0.07);
  for (int i = 0; i < 24; ++i) {
    const double x = (100.5 + 0.3) * kToyPx_mm + 0.085 * i + 0.25;
    trace.x_mm.push_back(x);
    trace.base.push_back(ink < 0 ? 0.98 : diagnose::cell_signal(density, coverage, 1));
    trace.value.push_back(trace.base.back());
  }
  for (int c = 0; c < kToyCells; ++c) trace.density.push_back(ink < 0 ? 0 : density * (1 + 0.002 * c));
  const int n = static_cast<int>(trace.x_mm.size());
  Eigen::MatrixXd b = Eigen::MatrixXd::Zero(n, n);
  std::uniform_real_distribution<double> value(-0.002, 0.002);
  for (int i = 0; i < n; ++i) {
    for (int j = std::max(0, i - 3); j < i; ++j) b(i, j) = value(random);
    b(i, i) = 0.006;
  }
  const Eigen::MatrixXd covariance = b * b.transpose();
  trace.noise = std::make_shared<diagnose::BandedCholesky>(static_cast<std::size_t>(n), 3);
  for (int i = 0; i < n; ++i) {
    for (int j = std::max(0, i - 3); j <= i; ++j) {
      trace.noise->add(static_cast<std::size_t>(i), static_cast<std::size_t>(j), covariance(i, j));
    }
  }
  if (!trace.noise->factor()) throw std::logic_error("the toy's covariance is not positive definite");
  Eigen::MatrixXd nuisance(n, 2);
  for (int i = 0; i < n; ++i) nuisance.row(i) << 1.0, (i - 0.5 * n) / n;
  const Eigen::LLT<Eigen::MatrixXd> dense(covariance);
  const Eigen::MatrixXd whitened = dense.matrixL().solve(nuisance);
  const Eigen::MatrixXd q =
      Eigen::HouseholderQR<Eigen::MatrixXd>(whitened).householderQ() * Eigen::MatrixXd::Identity(n, 2);
  for (int k = 0; k < 2; ++k) trace.nuisance.emplace_back(q.col(k).begin(), q.col(k).end());
  toy.scene.traces.push_back(std::move(trace));
  toy.covariance.push_back(covariance);
  toy.nuisance.push_back(nuisance);
}

// A solid, a tint, an overprint and bare paper.
inline ToyScene toy_scene() {
  ToyScene toy;
  toy.layout.inks = {{"cyan", {1.1, 0.3, 0.1}}, {"magenta", {0.2, 1.1, 0.4}}};
  toy.scene.px_mm = kToyPx_mm;
  for (int c = 0; c < kToyCells; ++c) {
    const int column = 100 + c;
    geometry::Owner owner{0, static_cast<std::int16_t>(column % 4), column / 4};
    toy.scene.cells.push_back({column, owner, column * kToyPx_mm, (column + 1) * kToyPx_mm, 1});
  }
  toy.scene.window_mm = {100 * kToyPx_mm, 142 * kToyPx_mm};
  toy.scene.shift_mm = {-0.02, 0, 0.02};
  toy.scene.shift_log_prior = {-0.5, 0, -0.5};
  std::mt19937 random(7);
  add_toy_trace(0, 1.0, {1, 0}, 1.1, random, toy);
  add_toy_trace(1, 0.4, {0, 1}, 1.2, random, toy);
  add_toy_trace(1, 1.0, {0.22, 0.78}, 1.4, random, toy);
  add_toy_trace(-1, 1.0, {}, 0, random, toy);
  return toy;
}

// Samples that a state would show, without noise.
inline std::vector<double> blended(const diagnose::Scene& scene, const diagnose::Trace& trace,
                                   const std::vector<double>& signal, double shift_mm) {
  const auto blend = scene.blend(trace, shift_mm);
  std::vector<double> out(trace.x_mm.size(), 0.0);
  for (std::size_t i = 0; i < out.size(); ++i) {
    const double scale = trace.ink < 0 ? trace.base[i] : 1.0;
    for (std::size_t k = 0; k < blend.weight[i].size(); ++k) {
      out[i] += scale * blend.weight[i][k] * signal[static_cast<std::size_t>(blend.first[i]) + k];
    }
  }
  return out;
}

// Makes the scene's samples what a state shows.
inline void print_state(const diagnose::InkState& state, double shift_mm, diagnose::Scene& scene) {
  for (auto& trace : scene.traces)
    trace.value = blended(scene, trace, diagnose::state_signals(trace, state), shift_mm);
}

// r^T P r with P = C^-1 - C^-1 N (N^T C^-1 N)^-1 N^T C^-1, all dense.
inline double dense_chi_square(const ToyScene& toy, const std::vector<std::vector<double>>& signals,
                               double shift_mm) {
  double total = 0;
  for (std::size_t t = 0; t < toy.scene.traces.size(); ++t) {
    const auto& trace = toy.scene.traces[t];
    const auto model = blended(toy.scene, trace, signals[t], shift_mm);
    Eigen::VectorXd r(static_cast<Eigen::Index>(model.size()));
    for (std::size_t i = 0; i < model.size(); ++i)
      r(static_cast<Eigen::Index>(i)) = trace.value[i] - model[i];
    const Eigen::MatrixXd inverse = toy.covariance[t].inverse();
    const Eigen::MatrixXd& n = toy.nuisance[t];
    const Eigen::VectorXd seen = n.transpose() * inverse * r;
    total += r.dot(inverse * r) - seen.dot((n.transpose() * inverse * n).inverse() * seen);
  }
  return total;
}

}  // namespace scrapetrace::testing
