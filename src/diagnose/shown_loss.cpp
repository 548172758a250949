#include "diagnose/shown_loss.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kLevelBeside_mm = 1.0;  // to each side, to tell the level about a streak
constexpr double kBlurs = 2;             // that a streak's light is spread over, beyond its ends
constexpr double kLeastOfClaim = 0.4;  // of the claimed loss: mottle and uneven jets take less than the rest

// Samples of a view, as far as the strip has them.
std::vector<double> losses_in(const profile::Strip& strip, const profile::InkView& view, int from, int to) {
  std::vector<double> out;
  for (int i = std::max(from, strip.from); i < std::min(to, strip.to); ++i) {
    const auto k = static_cast<std::size_t>(i);
    if (strip.bridged.empty() || !strip.bridged[k]) out.push_back(static_cast<double>(view.loss[k]));
  }
  return out;
}

// The lower side's: another streak on one side must not hide this one.
std::optional<double> level_beside(const profile::Strip& strip, const profile::InkView& view, int from,
                                   int to, int beside) {
  std::optional<double> level;
  for (const auto& side :
       {losses_in(strip, view, from - beside, from), losses_in(strip, view, to, to + beside)}) {
    if (std::ssize(side) < beside / 2) continue;
    const double here = median(side);
    level = level ? std::min(*level, here) : here;
  }
  return level;
}

}  // namespace

std::optional<double> shown_loss_mm(const std::vector<profile::PreparedScan>& scans,
                                    const std::vector<streak::Track>& tracks, Interval x_mm) {
  double sum = 0;
  double rows = 0;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    const profile::Grid& grid = scans[s].strips.grid;
    const double spread_mm = kBlurs * scans[s].blur_px * grid.pitch_mm;
    const int from = static_cast<int>(std::floor(grid.index(x_mm.from_mm - spread_mm)));
    const int to = static_cast<int>(std::ceil(grid.index(x_mm.to_mm + spread_mm))) + 1;
    const int beside = std::max(4, static_cast<int>(std::lround(kLevelBeside_mm / grid.pitch_mm)));
    for (const profile::InkView& view : scans[s].views.inked) {
      if (!tracks[s].shown_by(view.strip)) continue;
      const profile::Strip& strip = scans[s].strips.strips[view.strip];
      const auto inside = losses_in(strip, view, from, to);
      const auto level = level_beside(strip, view, from, to, beside);
      if (inside.empty() || !level) continue;
      double lost = 0;
      for (const double loss : inside) lost += loss - *level;
      sum += strip.rows * lost * grid.pitch_mm;
      rows += strip.rows;
    }
  }
  if (rows <= 0) return std::nullopt;
  return sum / rows;
}

bool shows_what_it_claims(const std::vector<profile::PreparedScan>& scans, const Explanation& explanation) {
  if (explanation.loss <= 0) return true;
  const auto shown_mm = shown_loss_mm(scans, explanation.tracks, explanation.visible_mm);
  return !shown_mm || *shown_mm > kLeastOfClaim * explanation.claimed_mm;
}

}  // namespace scrapetrace::diagnose
