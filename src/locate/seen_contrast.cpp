#include "locate/seen_contrast.h"

#include <algorithm>
#include <cmath>

#include "diagnose/round.h"
#include "visual/contrast.h"

namespace scrapetrace::locate_detail {

namespace {

using Views = std::vector<const profile::InkView*>;

Views seen_in(const profile::PreparedScan& scan, const streak::Track& track, std::optional<std::size_t> ink) {
  Views out;
  for (const profile::InkView& view : scan.views.inked) {
    if (!track.shown_by(view.strip)) continue;
    if (!ink || static_cast<std::size_t>(view.ink) == *ink) out.push_back(&view);
  }
  // Solids show the loss itself, and inks that stand alone show theirs.
  for (const auto plain : {+[](const profile::InkView* view) { return view->coverage == 1; },
                           +[](const profile::InkView* view) { return view->single_ink; }}) {
    if (std::any_of(out.begin(), out.end(), plain))
      std::erase_if(out, [plain](const profile::InkView* view) { return !plain(view); });
  }
  return out;
}

// The kinds of print under the strips that show the streak.
std::vector<visual::Print> prints_under(const profile::PreparedScan& scan, const streak::Track& track) {
  std::vector<visual::Print> out;
  for (const profile::InkView& view : scan.views.inked) {
    if (!track.shown_by(view.strip)) continue;
    visual::Print print{{}, view.coverage};
    for (std::size_t i = 0; i < view.ink_density.size(); ++i) {
      if (view.ink_density[i] > 0) print.inks.push_back(i);
    }
    const bool known = std::any_of(out.begin(), out.end(), [&](const visual::Print& other) {
      return other.inks == print.inks && other.coverage == print.coverage;
    });
    if (!known) out.push_back(std::move(print));
  }
  return out;
}

// Mean over the views, each strip by its rows, nothing outside the streak's place: the eye's filter averages
// the noise between samples.
std::vector<double> mean_loss(const profile::PreparedScan& scan, const Views& views, const Interval& x_mm) {
  const profile::Grid& grid = scan.strips.grid;
  const int first = std::max(0, static_cast<int>(std::floor(grid.index(x_mm.from_mm))));
  const int last = std::min(grid.size - 1, static_cast<int>(std::ceil(grid.index(x_mm.to_mm))));
  std::vector<double> out;
  for (int i = first; i <= last; ++i) {
    double rows = 0;
    double sum = 0;
    for (const profile::InkView* view : views) {
      const profile::Strip& strip = scan.strips.strips[view->strip];
      if (i < strip.from || i >= strip.to) continue;
      rows += strip.rows;
      sum += strip.rows * static_cast<double>(view->loss[static_cast<std::size_t>(i)]);
    }
    out.push_back(rows > 0 ? sum / rows : 0);
  }
  return out;
}

// Gaussian over three times its width at half maximum, on bare paper.
double haze_contrast(const Layout& layout, double pitch_mm, const diagnose::Explanation& e) {
  const double width_mm = (e.visible_mm.to_mm - e.visible_mm.from_mm) * layout.transfer.scale_cross;
  visual::Profile profile;
  profile.pitch_mm = pitch_mm;
  const auto half = static_cast<int>(std::ceil(1.5 * width_mm / pitch_mm));
  for (int i = -half; i <= half; ++i)
    profile.added.push_back(-e.loss * std::exp2(-std::pow(2 * i * pitch_mm / width_mm, 2)));
  return visual::contrast_of(layout, {visual::Print{}}, profile);
}

}  // namespace

double seen_contrast(const Layout& layout, const std::vector<profile::PreparedScan>& scans,
                     const diagnose::Explanation& e) {
  constexpr double kBlurs = 2;  // beside the streak's place, whose edges the scan washes out
  const Cause cause = diagnose::likeliest(e.causes);
  if (e.loss < 0 && cause != Cause::seam_mismatch) return haze_contrast(layout, layout.px_mm(), e);
  double most = 0;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    if (e.tracks[s].strips.empty()) continue;
    const profile::PreparedScan& scan = scans[s];
    visual::Profile profile;
    profile.pitch_mm = scan.strips.grid.pitch_mm * layout.transfer.scale_cross;
    if (cause == Cause::dead_jet && !e.found.jet.empty()) profile.ink = e.found.jet.best().ink;
    const double beside_mm = kBlurs * scan.blur_px * scan.strips.grid.pitch_mm;
    profile.loss = mean_loss(scan, seen_in(scan, e.tracks[s], profile.ink),
                             {e.visible_mm.from_mm - beside_mm, e.visible_mm.to_mm + beside_mm});
    most = std::max(most, visual::contrast_of(layout, prints_under(scan, e.tracks[s]), profile));
  }
  return most;
}

}  // namespace scrapetrace::locate_detail
