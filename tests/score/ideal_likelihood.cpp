#include "score/ideal_likelihood.h"

#include <cmath>
#include <numeric>

#include "base/srgb.h"

namespace scrapetrace::score {

namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

// Variance of a mean over a length, of a field of unit variance correlated as exp(-d^2 / (2 l^2)).
double mean_variance(double length_mm, double l_mm) {
  const double a = length_mm / (l_mm * M_SQRT2);
  if (a < 1e-3) return 1;
  return (std::sqrt(M_PI) * a * std::erf(a) - 1 + std::exp(-a * a)) / (a * a);
}

// Slope and curvature of linear light by code value (8 bits) at a level of light.
struct Tone {
  double slope = 0;
  double curvature = 0;
};

Tone tone_at(double linear) {
  const double code = srgb_from_linear(linear);
  constexpr double kStep = 1.0 / 255;
  const double low = linear_from_srgb(code - kStep);
  const double middle = linear_from_srgb(code);
  const double high = linear_from_srgb(code + kStep);
  return {(high - low) / 2, high - 2 * middle + low};
}

double code_variance(const ScanOptions& scan) {
  return scan.noise * scan.noise + (scan.bits == 8 ? 1.0 / 12 : 0);
}

double kept_by(const Scrape& scrape, int column) {
  return std::pow(1 - scrape.loss, scrape.touches.at(column));
}

double kept_slope(const Scrape& scrape, int column) {
  const int n = scrape.touches.at(column);
  return n == 0 ? 0 : -n * std::pow(1 - scrape.loss, n - 1);
}

// Light of a strip per channel, and its derivative by the loss.
struct StripLight {
  std::array<double, 3> light{};
  std::array<double, 3> slope{};
};

double volume_of(const IdealView& view, const JetKey& jet) {
  const auto found = view.volumes.find(jet);
  return found == view.volumes.end() ? 1 : found->second;
}

StripLight strip_light(const ViewStrip& strip, const Scrape& scrape) {
  StripLight out;
  std::array<double, 3> density{};
  std::array<double, 3> density_slope{};
  std::array<double, 3> deviation{};  // root of `spread`, layers of one ink add up
  std::array<double, 3> deviation_slope{};
  for (const Layer& layer : strip.layers) {
    const double kept = kept_by(scrape, layer.column);
    const double by_loss = kept_slope(scrape, layer.column);
    for (std::size_t c = 0; c < 3; ++c) {
      const double root = std::sqrt(layer.spread[c]);
      density[c] += kept * layer.density[c];
      density_slope[c] += by_loss * layer.density[c];
      deviation[c] += kept * root;
      deviation_slope[c] += by_loss * root;
    }
  }
  for (std::size_t c = 0; c < 3; ++c) {
    out.light[c] = strip.light[c] * std::exp(-density[c] + deviation[c] * deviation[c]);
    out.slope[c] = out.light[c] * (-density_slope[c] + 2 * deviation[c] * deviation_slope[c]);
  }
  return out;
}

}  // namespace

IdealLikelihood::IdealLikelihood(const IdealView& view, const Scrape& scrape) : view_(view) {
  for (const PatchView& patch : view.patches) {
    weigh_channels(patch);
    add_patch(patch, scrape);
  }
  const auto count = static_cast<Eigen::Index>(jet_index_.size());
  MatrixXd products = MatrixXd::Identity(count, count);
  for (const auto& jets : jets_) {
    const Eigen::Index samples = jets.empty() ? 0 : jets.begin()->second.size();
    MatrixXd all(samples, static_cast<Eigen::Index>(jets.size()));
    std::vector<Eigen::Index> columns;
    for (const auto& [key, vector] : jets) {
      all.col(static_cast<Eigen::Index>(columns.size())) = vector;
      columns.push_back(jet_index_.at(key));
    }
    const MatrixXd own = all.transpose() * all;
    for (std::size_t i = 0; i < columns.size(); ++i) {
      for (std::size_t j = 0; j < columns.size(); ++j)
        products(columns[i], columns[j]) += own(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
    }
    white_jets_.push_back(std::move(all));
    jet_columns_.push_back(std::move(columns));
  }
  shared_ = products.llt().matrixL();
}

// As if the print were whole: the weights need not follow the streak.
void IdealLikelihood::weigh_channels(const PatchView& patch) {
  std::array<double, 3> weight{};
  std::array<double, 3> light{};
  std::array<double, 3> slope{};
  for (const ViewStrip& strip : patch.strips) {
    const StripLight s = strip_light(strip, {});
    for (std::size_t c = 0; c < 3; ++c) {
      light[c] += s.light[c];
      for (const Layer& layer : strip.layers) slope[c] += s.light[c] * layer.density[c];
    }
  }
  double sum = 0;
  for (std::size_t c = 0; c < 3; ++c) {
    const double tone = tone_at(light[c] / static_cast<double>(patch.strips.size())).slope;
    weight[c] = slope[c] / (tone * tone);
    sum += weight[c];
  }
  for (double& w : weight) w = sum > 0 ? w / sum : 1.0 / 3;
  channel_weight_.push_back(weight);
}

void IdealLikelihood::add_patch(const PatchView& patch, const Scrape& scrape) {
  const auto n = static_cast<Eigen::Index>(patch.samples.size());
  const auto strips = static_cast<Eigen::Index>(patch.strips.size());
  const auto& weight = channel_weight_.back();
  MatrixXd blend = MatrixXd::Zero(n, strips);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Sample& s = patch.samples[static_cast<std::size_t>(i)];
    for (std::size_t k = 0; k < s.weight.size(); ++k)
      blend(i, static_cast<Eigen::Index>(s.first_strip + k)) = s.weight[k];
  }
  std::vector<VectorXd> by_ink(patch.inks.size(), VectorXd::Zero(strips));  // signal per relative amount
  VectorXd grain = VectorXd::Zero(strips);
  MatrixXd light(strips, 3);
  std::map<JetKey, VectorXd> jets;
  for (Eigen::Index s = 0; s < strips; ++s) {
    const ViewStrip& strip = patch.strips[static_cast<std::size_t>(s)];
    const StripLight lit = strip_light(strip, scrape);
    for (Eigen::Index c = 0; c < 3; ++c) light(s, c) = lit.light[static_cast<std::size_t>(c)];
    for (const Layer& layer : strip.layers) {
      const double kept = kept_by(scrape, layer.column);
      for (std::size_t i = 0; i < patch.inks.size(); ++i) {
        double signal = 0;
        for (std::size_t c = 0; c < 3; ++c) signal -= weight[c] * lit.light[c] * kept * layer.inks[i][c];
        by_ink[i](s) += signal;
        auto& jet = jets[{layer.owner.head, layer.owner.jet, patch.inks[i]}];
        if (jet.size() == 0) jet = VectorXd::Zero(strips);
        jet(s) += view_.print.jet_variation * signal /
                  volume_of(view_, {layer.owner.head, layer.owner.jet, patch.inks[i]});
      }
    }
  }
  for (const VectorXd& ink : by_ink) grain += ink.cwiseAbs2();
  grain *= view_.print.grain * view_.print.grain / patch.raster_rows;
  MatrixXd covariance = blend * grain.asDiagonal() * blend.transpose();
  const double slow =
      view_.print.mottle * view_.print.mottle * mean_variance(patch.length_mm, view_.print.mottle_mm);
  // Mottle's length is given on the sheet.
  const double l_mm = view_.print.mottle_mm / view_.layout->transfer.scale_cross;
  for (const VectorXd& ink : by_ink) {
    const VectorXd seen = blend * ink;
    for (Eigen::Index i = 0; i < n; ++i) {
      for (Eigen::Index j = 0; j < n; ++j) {
        const double d = (patch.samples[static_cast<std::size_t>(i)].x_mm -
                          patch.samples[static_cast<std::size_t>(j)].x_mm) /
                         l_mm;
        covariance(i, j) += slow * seen(i) * seen(j) * std::exp(-0.5 * d * d);
      }
    }
  }
  const MatrixXd seen_light = blend * light;
  for (Eigen::Index i = 0; i < n; ++i) {
    for (Eigen::Index c = 0; c < 3; ++c) {
      const double slope = weight[static_cast<std::size_t>(c)] * tone_at(seen_light(i, c)).slope;
      covariance(i, i) +=
          slope * slope * code_variance(view_.scan) / patch.samples[static_cast<std::size_t>(i)].rows;
    }
  }
  own_.push_back(covariance.llt().matrixL());
  expansion_.push_back(VectorXd::Zero(n));
  for (auto& [key, jet] : jets) {
    jet_index_.try_emplace(key, static_cast<Eigen::Index>(jet_index_.size()));
    VectorXd seen = blend * jet;
    if (view_.print.jet_variation > 0)
      expansion_.back() += (volume_of(view_, key) - 1) / view_.print.jet_variation * seen;
    own_.back().triangularView<Eigen::Lower>().solveInPlace(seen);
    jet = std::move(seen);
  }
  jets_.push_back(std::move(jets));
}

std::vector<VectorXd> IdealLikelihood::traces(const Scrape& scrape, bool derivative) const {
  std::vector<VectorXd> out;
  for (std::size_t p = 0; p < view_.patches.size(); ++p) {
    const PatchView& patch = view_.patches[p];
    const auto& weight = channel_weight_[p];
    std::vector<double> combined(patch.strips.size());
    for (std::size_t s = 0; s < combined.size(); ++s) {
      const StripLight lit = strip_light(patch.strips[s], scrape);
      for (std::size_t c = 0; c < 3; ++c)
        combined[s] += weight[c] * (derivative ? lit.slope[c] : lit.light[c]);
    }
    VectorXd trace(static_cast<Eigen::Index>(patch.samples.size()));
    for (std::size_t i = 0; i < patch.samples.size(); ++i) {
      const Sample& sample = patch.samples[i];
      double sum = 0;
      for (std::size_t k = 0; k < sample.weight.size(); ++k)
        sum += sample.weight[k] * combined[sample.first_strip + k];
      trace(static_cast<Eigen::Index>(i)) = sum;
    }
    out.push_back(std::move(trace));
  }
  return out;
}

std::vector<VectorXd> IdealLikelihood::signal(const Scrape& scrape) const {
  return traces(scrape, false);
}

std::vector<VectorXd> IdealLikelihood::slope(const Scrape& scrape) const {
  return traces(scrape, true);
}

// Noise on a bent curve lifts its mean by half the curvature times the variance.
std::vector<VectorXd> IdealLikelihood::data() const {
  std::vector<VectorXd> out;
  for (std::size_t p = 0; p < view_.patches.size(); ++p) {
    const PatchView& patch = view_.patches[p];
    VectorXd trace = expansion_[p];
    for (std::size_t i = 0; i < patch.samples.size(); ++i) {
      for (std::size_t c = 0; c < 3; ++c) {
        const double value = patch.samples[i].value[c];
        const double lift = 0.5 * tone_at(value).curvature * code_variance(view_.scan);
        trace(static_cast<Eigen::Index>(i)) += channel_weight_[p][c] * (value - lift);
      }
    }
    out.push_back(std::move(trace));
  }
  return out;
}

White IdealLikelihood::whiten(const std::vector<VectorXd>& traces) const {
  White out;
  out.own.resize(std::accumulate(traces.begin(), traces.end(), Eigen::Index{0},
                                 [](Eigen::Index sum, const VectorXd& trace) { return sum + trace.size(); }));
  out.shared = VectorXd::Zero(shared_.rows());
  Eigen::Index at = 0;
  for (std::size_t p = 0; p < traces.size(); ++p) {
    const Eigen::Index n = traces[p].size();
    auto own = out.own.segment(at, n);
    own = traces[p];
    own_[p].triangularView<Eigen::Lower>().solveInPlace(own);
    const VectorXd explained = white_jets_[p].transpose() * own;
    for (std::size_t j = 0; j < jet_columns_[p].size(); ++j)
      out.shared(jet_columns_[p][j]) += explained(static_cast<Eigen::Index>(j));
    at += n;
  }
  shared_.triangularView<Eigen::Lower>().solveInPlace(out.shared);
  return out;
}

JetVolumes IdealLikelihood::likely_volumes(const Scrape& scrape) const {
  const std::vector<VectorXd> model = signal(scrape);
  std::vector<VectorXd> rest = data();
  for (std::size_t p = 0; p < rest.size(); ++p) rest[p] -= model[p];
  const VectorXd deviates = shared_.triangularView<Eigen::Lower>().transpose().solve(whiten(rest).shared);
  JetVolumes out;
  for (const auto& [key, index] : jet_index_)
    out[key] = std::max(0.1, 1 + view_.print.jet_variation * deviates(index));
  return out;
}

IdealView with_settled_jets(const IdealView& view, const Scrape& scrape) {
  constexpr int kRounds = 3;
  IdealView settled = view;
  for (int k = 0; k < kRounds; ++k)
    settled = with_volumes(view, IdealLikelihood(settled, scrape).likely_volumes(scrape));
  return settled;
}

}  // namespace scrapetrace::score
