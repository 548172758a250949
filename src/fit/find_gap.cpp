#include "fit/find_gap.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::fit {

namespace {

constexpr double kStep_mm = 0.01;
constexpr double kLeastLoss = 0.1;
constexpr double kHole_mm = 0.5;  // larger sample spacing is a hole in the profile

std::optional<double> loss_at(const std::vector<double>& x, const std::vector<double>& loss, double at) {
  const auto after = std::lower_bound(x.begin(), x.end(), at);
  if (after == x.begin() || after == x.end()) return std::nullopt;
  const auto i = static_cast<std::size_t>(after - x.begin());
  if (x[i] - x[i - 1] > kHole_mm) return std::nullopt;
  const double part = (at - x[i - 1]) / (x[i] - x[i - 1]);
  return loss[i - 1] + part * (loss[i] - loss[i - 1]);
}

// Mean over the lines; nothing when one of them is not visible.
std::optional<double> score_at(const std::vector<double>& x, const std::vector<double>& loss,
                               const std::vector<double>& lines, double at) {
  double sum = 0;
  for (const double line : lines) {
    const auto value = loss_at(x, loss, at + line);
    if (!value) return std::nullopt;
    sum += *value;
  }
  return sum / static_cast<double>(lines.size());
}

}  // namespace

std::optional<double> find_gap(const std::vector<double>& x_mm, const std::vector<double>& loss,
                               const std::vector<double>& lines_mm, double about_mm, double reach_mm) {
  const int steps = static_cast<int>(std::lround(reach_mm / kStep_mm));
  constexpr double kUnseen = -1e9;
  std::vector<double> score(static_cast<std::size_t>(2 * steps + 1), kUnseen);
  for (int i = -steps; i <= steps; ++i) {
    score[static_cast<std::size_t>(i + steps)] =
        score_at(x_mm, loss, lines_mm, about_mm + i * kStep_mm).value_or(kUnseen);
  }
  const auto best = std::max_element(score.begin(), score.end());
  if (*best < kLeastLoss) return std::nullopt;
  // Lines are evenly spaced: shifted by one line, all but one would still meet gaps. If that position is not
  // visible, it may be the right one.
  const auto around =
      static_cast<std::ptrdiff_t>(std::abs(lines_mm.back() - lines_mm.front()) / 2 / kStep_mm);
  const auto from = best - std::min(around, best - score.begin());
  const auto to = best + std::min(around, score.end() - best);
  if (std::find(from, to, kUnseen) != to) return std::nullopt;
  // Centre of the peak's upper half, since its top is flat over a sample.
  double weight = 0;
  double sum = 0;
  const auto add = [&](std::vector<double>::const_iterator at) {
    const double w = *at - *best / 2;
    if (w <= 0) return false;
    weight += w;
    sum += w * static_cast<double>(at - score.cbegin());
    return true;
  };
  for (auto at = std::vector<double>::const_iterator(best); at != score.cend() && add(at); ++at) {
  }
  for (auto at = std::vector<double>::const_iterator(best); at != score.cbegin() && add(at - 1); --at) {
  }
  return about_mm + (sum / weight - steps) * kStep_mm;
}

}  // namespace scrapetrace::fit
