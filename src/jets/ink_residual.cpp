#include "jets/ink_residual.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"

namespace scrapetrace::jets {

namespace {

using profile::InkView;

constexpr double kSlow_mm = 4;      // what changes over more is not one jet's
constexpr double kStreak_mm = 0.5;  // around what stands out by more than kClip
constexpr double kClip = 4;         // robust standard deviations: a streak is not to be heard
constexpr double kLeastWidth_mm = 15;

// Less its running mean.
void sharpen(double pitch_mm, InkResidual& residual) {
  const int reach = static_cast<int>(std::lround(kSlow_mm / 2 / pitch_mm));
  const std::vector<double> seen = residual.value;
  std::vector<double> sum(seen.size() + 1, 0.0);
  for (std::size_t i = 0; i < seen.size(); ++i) sum[i + 1] = sum[i] + seen[i];
  for (int i = residual.from; i < residual.to; ++i) {
    const int a = std::max(residual.from, i - reach);
    const int b = std::min(residual.to, i + reach + 1);
    const double mean = (sum[static_cast<std::size_t>(b)] - sum[static_cast<std::size_t>(a)]) / (b - a);
    residual.value[static_cast<std::size_t>(i)] = seen[static_cast<std::size_t>(i)] - mean;
  }
}

std::vector<double> inside_of(const InkResidual& residual) {
  return {residual.value.begin() + residual.from, residual.value.begin() + residual.to};
}

void leave_out_streaks(double pitch_mm, InkResidual& residual) {
  const int reach = static_cast<int>(std::lround(kStreak_mm / pitch_mm));
  const std::vector<double> inside = inside_of(residual);
  const double limit = kClip * robust_sigma(inside, 0);
  residual.streak.assign(residual.value.size(), false);
  for (int i = 0; i < static_cast<int>(inside.size()); ++i) {
    if (std::abs(inside[static_cast<std::size_t>(i)]) < limit) continue;
    const int a = std::max(residual.from, residual.from + i - reach);
    const int b = std::min(residual.to, residual.from + i + reach + 1);
    std::fill(residual.value.begin() + a, residual.value.begin() + b, 0.0);
    std::fill(residual.streak.begin() + a, residual.streak.begin() + b, true);
  }
}

InkResidual mean_residual(const profile::PreparedScan& scan, const std::vector<const InkView*>& views) {
  InkResidual out;
  out.to = scan.strips.grid.size;
  out.value.assign(static_cast<std::size_t>(out.to), 0.0);
  for (const InkView* view : views) {
    out.from = std::max(out.from, scan.strips.strips[view->strip].from);
    out.to = std::min(out.to, scan.strips.strips[view->strip].to);
  }
  for (int i = out.from; i < out.to; ++i) {
    const auto k = static_cast<std::size_t>(i);
    for (const InkView* view : views) out.value[k] += static_cast<double>(view->loss[k]);
    out.value[k] /= static_cast<double>(views.size());
  }
  return out;
}

}  // namespace

std::vector<InkResidual> ink_losses(const geometry::Machine& machine, const profile::PreparedScan& scan) {
  const auto views = diagnose::views_by_ink(scan);
  std::vector<InkResidual> out;
  for (const auto& noise : diagnose::measure_ink_noise(machine, scan)) {
    const auto found = views.find(noise.ink);
    if (found == views.end() || found->second.size() < 2) continue;
    InkResidual residual = mean_residual(scan, found->second);
    if ((residual.to - residual.from) * scan.strips.grid.pitch_mm < kLeastWidth_mm) continue;
    residual.ink = noise.ink;
    residual.jet_variance = noise.jet_sigma * noise.jet_sigma;
    residual.noise_variance =
        noise.strip_sigma * noise.strip_sigma / static_cast<double>(found->second.size());
    out.push_back(std::move(residual));
  }
  return out;
}

void leave_jets(double pitch_mm, InkResidual& residual) {
  sharpen(pitch_mm, residual);
  leave_out_streaks(pitch_mm, residual);
}

void add_unexpected_squares(const std::vector<double>& expected, double pitch_mm, InkResidual residual,
                            std::vector<double>& squares) {
  for (int i = residual.from; i < residual.to; ++i)
    residual.value[static_cast<std::size_t>(i)] -= expected[static_cast<std::size_t>(i)];
  sharpen(pitch_mm, residual);
  for (int i = residual.from; i < residual.to; ++i)
    squares[static_cast<std::size_t>(i)] += std::pow(residual.value[static_cast<std::size_t>(i)], 2);
}

}  // namespace scrapetrace::jets
