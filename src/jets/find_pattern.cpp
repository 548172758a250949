#include "jets/find_pattern.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <vector>

#include "base/parallel.h"
#include "jets/phase.h"

namespace scrapetrace::jets {

namespace {

constexpr double kReach_sigmas = 3;
constexpr double kLeastSigma_columns = 0.15;  // heads and carriages stand where the layout has them to that
constexpr double kCurve_columns = 0.25;       // a parabola's reach about the best place
constexpr double kLeastSamples = 400;
constexpr double kSeamError = 0.05;  // of a column's ink, that the model of gaps and overlaps is off by
constexpr int kLeastJets = 20;

// Standard deviation of a step in `direction` from the best place: of a log likelihood that falls by a
// parabola.
double sigma_along(const JetMatch& match, const JetData& data, const Phase& phase, const Trial& direction) {
  const auto moved = [&](double by) {
    return Trial{phase.trial.shift_mm + by * direction.shift_mm,
                 phase.trial.stretch + by * direction.stretch};
  };
  const auto left = match.left_over(std::vector{moved(-1), moved(1)});
  const double fall = (left[0] + left[1] - 2 * phase.left_over) / std::max(1.0, phase.left_over);
  return 1 / std::sqrt(std::max(1e-12, 0.5 * data.samples() * fall));
}

// A scanner's lens may bend the page by more than a column: then parts agree where the whole does not.
double ratio_by_parts(const JetData& data, const Layout& layout, double stretch,
                      const PatternOptions& options) {
  const Interval window = data.window_mm();
  const double column = layout.px_mm();
  const int parts =
      std::max(1, static_cast<int>(std::lround((window.to_mm - window.from_mm) / options.part_mm)));
  const double length = (window.to_mm - window.from_mm) / parts;
  std::vector<double> ratios(static_cast<std::size_t>(parts));
  for_each_part(ratios.size(), options.threads, [&](std::size_t part) {
    const int k = static_cast<int>(part);
    const JetData shown = data.narrowed({window.from_mm + k * length, window.from_mm + (k + 1) * length});
    const JetMatch match(shown, {0, stretch});
    const double pitch = column * layout.interleave.jet_pitch_px;
    ratios[part] = (options.bent ? best_stretch(match, shown, pitch, column, options.part_stretch, 1)
                                 : best_phase(match, pitch, column, stretch))
                       .ratio();
  });
  return std::accumulate(ratios.begin(), ratios.end(), 0.0) / parts;
}

PatternVerdict verdict_of(const Phase& phase, double part_ratio, const PatternOptions& options) {
  const double ratio = options.bent ? part_ratio : phase.ratio();
  const bool clear = phase.elsewhere > options.clear;
  if (clear && ratio > options.contradicted && part_ratio > options.part_contradicted)
    return PatternVerdict::contradicted;
  // The layout's own would leave 1 of it: half and less.
  if (phase.elsewhere > options.shown && ratio > options.recognised && part_ratio > options.in_part)
    return PatternVerdict::unexplained;
  if (clear && ratio > options.in_part) return PatternVerdict::in_part;
  return ratio < options.recognised ? PatternVerdict::recognised : PatternVerdict::unseen;
}

}  // namespace

Pattern find_pattern(const JetData& data, const geometry::Machine& machine, const PatternOptions& options) {
  Pattern out;
  const JetMatch match(data, {});
  if (data.samples() < kLeastSamples || match.jets() < kLeastJets) return out;
  const double column = machine.layout.px_mm();
  const double pitch = column * machine.layout.interleave.jet_pitch_px;
  const double length = data.window_mm().to_mm - data.window_mm().from_mm;
  Phase phase = best_stretch(match, data, pitch, column, options.stretch, options.threads);
  refine(match, column, length, options.stretch, phase);
  out.part_ratio = ratio_by_parts(data, machine.layout, phase.trial.stretch, options);
  out.verdict = verdict_of(phase, out.part_ratio, options);
  out.middle_mm = data.middle_mm();
  out.elsewhere = phase.elsewhere;
  out.left_over = phase.left_over;
  const double step = kCurve_columns * column;
  const double end = step / (0.5 * length);
  // Where nothing of a pattern shows, both are still within what was searched: evenly over it.
  const double shift_sigma =
      std::min(step * sigma_along(match, data, phase, {step, 0}), pitch / std::sqrt(12.0));
  out.sigma_mm = std::hypot(kLeastSigma_columns * column, shift_sigma);
  out.sigma_stretch =
      std::min(end * sigma_along(match, data, phase, {0, end}), options.stretch / std::sqrt(3.0));
  const Anchor anchor = options.anchor.value_or(Anchor{data.middle_mm(), options.sigma_mm});
  const double sigma = std::hypot(anchor.sigma_mm, out.sigma_mm);
  const auto off = [&](const Trial& trial) {
    return trial.shift_mm + trial.stretch * (anchor.x_mm - data.middle_mm());
  };
  // The phase lies within half a pitch; the anchor may want it several pitches from there. Heads off by more
  // than the print is wide lay none of it.
  const double reach = std::min(kReach_sigmas * sigma + std::abs(off(phase.trial)), length);
  const int most = static_cast<int>(std::ceil(reach / pitch));
  std::vector<Trial> trials;
  for (int k = -most; k <= most; ++k)
    trials.push_back({phase.trial.shift_mm + k * pitch, phase.trial.stretch});
  std::vector<double> evidence(trials.size());
  for_each_part(trials.size(), options.threads, [&](std::size_t k) {
    const Trial& trial = trials[k];
    // Jets tell places a pitch apart by heads' ends alone; where carriages stand off, gaps and overlaps at
    // the seams tell them by much, and left unexpected would favour the place where jets come to lie on them.
    const auto squares = data.off_seams(machine, trial);
    evidence[k] = JetMatch(data, trial).gain(trial) / std::max(1.0, phase.left_over) -
                  0.5 * std::accumulate(squares.begin(), squares.end(), 0.0) / (kSeamError * kSeamError) -
                  0.5 * std::pow(off(trial) / sigma, 2);
  });
  double best = -std::numeric_limits<double>::infinity();
  double next = best;
  for (std::size_t k = 0; k < trials.size(); ++k) {
    next = std::max(next, std::min(best, evidence[k]));
    if (evidence[k] > best) best = evidence[k], out.place = trials[k];
  }
  out.log_evidence = best;
  out.next_best = next;
  return out;
}

}  // namespace scrapetrace::jets
