#include "jets/heads_apart.h"

#include <Eigen/QR>
#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "geometry/frames.h"
#include "jets/phase.h"

namespace scrapetrace::jets {

namespace {

constexpr double kApart_columns = 0.8;
constexpr double kOnLine_columns = 0.25;  // root mean square of the others about their line
constexpr double kShort_mm = 10;          // a head that shows less of itself is not asked
constexpr double kStandsOut = 2.0;        // mean square of its pattern, in units of its noise
constexpr double kClearly = 0.4;          // of which at most so much is left over at its best place

struct HeadPlace {
  std::size_t head = 0;
  double x_mm = 0;    // drum, middle of what it shows
  double off_mm = 0;  // from where the pattern has it
};

// Where a head prints by itself, without the columns that neighbours share with it, as far as the scan shows.
Interval alone_mm(const JetData& data, const geometry::Machine& machine, std::size_t head) {
  int from = machine.columns.columns();
  int to = -1;
  for (int c = 0; c < machine.columns.columns(); ++c) {
    if (machine.columns.owner(c).head == static_cast<int>(head))
      from = std::min(from, c), to = std::max(to, c);
  }
  const auto& shifts = machine.layout.interleave.shift_px;
  const int travel = shifts.empty() ? 0 : *std::max_element(shifts.begin(), shifts.end());
  const std::size_t carriage = machine.layout.heads[head].carriage;
  const Interval window = data.window_mm();
  return {std::max(window.from_mm, geometry::drum_x_of_column(machine.layout, from + travel, carriage)),
          std::min(window.to_mm, geometry::drum_x_of_column(machine.layout, to - travel, carriage))};
}

std::optional<HeadPlace> place_of(const JetData& data, const geometry::Machine& machine,
                                  const Pattern& pattern, std::size_t head) {
  const Interval window = alone_mm(data, machine, head);
  if (window.to_mm - window.from_mm < kShort_mm) return std::nullopt;
  const JetData part = data.narrowed(window);
  const double expected_mm =
      pattern.place.shift_mm + pattern.place.stretch * (part.middle_mm() - pattern.middle_mm);
  const JetMatch match(part, {expected_mm, pattern.place.stretch});
  const double column_mm = machine.layout.px_mm();
  const double pitch_mm = column_mm * machine.layout.interleave.jet_pitch_px;
  Phase phase = best_phase(match, pitch_mm, column_mm, pattern.place.stretch);
  refine(match, column_mm, window.to_mm - window.from_mm, 0, phase);
  if (phase.elsewhere < kStandsOut || phase.ratio() > kClearly) return std::nullopt;
  const double off_mm = phase.trial.shift_mm - expected_mm;
  return HeadPlace{head, part.middle_mm(), off_mm - pitch_mm * std::round(off_mm / pitch_mm)};
}

struct LineFit {
  double off_mm = 0;  // of those that are apart, beside the line through the others
  double rms_mm = 0;
};

LineFit fit_line(const std::vector<HeadPlace>& places, const std::vector<bool>& apart) {
  const auto n = static_cast<Eigen::Index>(places.size());
  Eigen::MatrixXd a(n, 3);
  Eigen::VectorXd y(n);
  for (Eigen::Index k = 0; k < n; ++k) {
    const HeadPlace& place = places[static_cast<std::size_t>(k)];
    a.row(k) << 1, place.x_mm, apart[static_cast<std::size_t>(k)] ? 1 : 0;
    y[k] = place.off_mm;
  }
  const Eigen::VectorXd solution = a.colPivHouseholderQr().solve(y);
  return {solution[2], (y - a * solution).norm() / std::sqrt(static_cast<double>(n))};
}

// What may stand apart: every head alone, and every carriage that does not hold all heads.
std::vector<HeadsApart> suspects(const Layout& layout, const std::vector<HeadPlace>& places) {
  std::vector<HeadsApart> out;
  for (const HeadPlace& place : places) out.push_back({{place.head}, std::nullopt, 0});
  for (std::size_t c = 0; c < layout.carriages.size(); ++c) {
    HeadsApart all{{}, c, 0};
    for (const HeadPlace& place : places) {
      if (layout.heads[place.head].carriage == c) all.heads.push_back(place.head);
    }
    if (all.heads.size() > 1 && all.heads.size() + 1 < places.size()) out.push_back(std::move(all));
  }
  return out;
}

}  // namespace

std::optional<HeadsApart> heads_apart(const JetData& data, const geometry::Machine& machine,
                                      const Pattern& pattern, int threads) {
  std::vector<std::optional<HeadPlace>> of_head(machine.layout.heads.size());
  for_each_part(of_head.size(), threads,
                [&](std::size_t head) { of_head[head] = place_of(data, machine, pattern, head); });
  std::vector<HeadPlace> places;
  for (const auto& place : of_head) {
    if (place) places.push_back(*place);
  }
  if (places.size() < 4) return std::nullopt;
  std::optional<HeadsApart> best;
  double least_mm = kOnLine_columns * machine.layout.px_mm();
  for (HeadsApart& suspect : suspects(machine.layout, places)) {
    std::vector<bool> apart;
    for (const HeadPlace& place : places)
      apart.push_back(std::find(suspect.heads.begin(), suspect.heads.end(), place.head) !=
                      suspect.heads.end());
    const LineFit line = fit_line(places, apart);
    if (line.rms_mm >= least_mm) continue;
    least_mm = line.rms_mm;
    suspect.off_mm = line.off_mm;
    best = std::move(suspect);
  }
  if (!best || std::abs(best->off_mm) < kApart_columns * machine.layout.px_mm()) return std::nullopt;
  return best;
}

}  // namespace scrapetrace::jets
