#include "jets/phase.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"

namespace scrapetrace::jets {

namespace {
constexpr double kStep_columns = 0.5;
constexpr double kSame_columns = 1.5;  // trials closer than this share most of a comb
}  // namespace

Phase best_phase(const JetMatch& match, double pitch_mm, double column_mm, double stretch) {
  const int count = std::max(2, static_cast<int>(std::lround(pitch_mm / (kStep_columns * column_mm))));
  std::vector<Trial> trials;
  for (int k = 0; k < count; ++k)
    trials.push_back({(static_cast<double>(k) / count - 0.5) * pitch_mm, stretch});
  const std::vector<double> left = match.left_over(trials);
  const auto best = std::min_element(left.begin(), left.end());
  Phase out{trials[static_cast<std::size_t>(best - left.begin())], *best};
  double sum = 0;
  double number = 0;
  for (int k = 0; k < count; ++k) {
    const double shift = trials[static_cast<std::size_t>(k)].shift_mm - out.trial.shift_mm;
    if (std::abs(shift - pitch_mm * std::round(shift / pitch_mm)) < kSame_columns * column_mm) continue;
    sum += left[static_cast<std::size_t>(k)];
    number += 1;
  }
  out.elsewhere = number > 0 ? sum / number : out.left_over;
  return out;
}

Phase best_stretch(const JetMatch& match, const JetData& data, double pitch_mm, double column_mm,
                   double reach, int threads) {
  const double length = data.window_mm().to_mm - data.window_mm().from_mm;
  const double step = kStep_columns * column_mm / (0.5 * length);
  std::vector<double> stretches = {0};
  for (int k = 1; k * step <= reach; ++k) {
    for (const int sign : {-1, 1}) stretches.push_back(sign * k * step);
  }
  std::vector<Phase> phases(stretches.size());
  for_each_part(phases.size(), threads,
                [&](std::size_t k) { phases[k] = best_phase(match, pitch_mm, column_mm, stretches[k]); });
  return *std::min_element(phases.begin(), phases.end(),
                           [](const Phase& a, const Phase& b) { return a.left_over < b.left_over; });
}

void refine(const JetMatch& match, double column_mm, double length_mm, double most, Phase& phase) {
  const auto take_best_of = [&](const std::vector<Trial>& trials) {
    const auto left = match.left_over(trials);
    const auto best = std::min_element(left.begin(), left.end());
    if (*best < phase.left_over)
      phase.trial = trials[static_cast<std::size_t>(best - left.begin())], phase.left_over = *best;
  };
  for (double step = kStep_columns / 2 * column_mm; step > 0.02 * column_mm; step /= 2) {
    const Trial here = phase.trial;
    take_best_of({{here.shift_mm - step, here.stretch}, {here.shift_mm + step, here.stretch}});
    if (most <= 0) continue;
    const double more = std::min(step / (0.5 * length_mm), most - std::abs(phase.trial.stretch));
    if (more <= 0) continue;
    const Trial there = phase.trial;
    take_best_of({{there.shift_mm, there.stretch - more}, {there.shift_mm, there.stretch + more}});
  }
}

}  // namespace scrapetrace::jets
