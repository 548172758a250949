#include "locate/make_streaks.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "base/intervals.h"
#include "geometry/frames.h"
#include "locate/seen_contrast.h"
#include "scrapetrace/sight.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kWorthTelling = 0.01;

struct Moments {
  double weight = 0;
  double sum = 0;
  double square = 0;
  void add(double w, double value) {
    weight += w;
    sum += w * value;
    square += w * value * value;
  }
  [[nodiscard]] double mean() const { return weight > 0 ? sum / weight : 0; }
  [[nodiscard]] double sigma() const {
    return weight > 0 ? std::sqrt(std::max(0.0, square / weight - mean() * mean())) : 0;
  }
};

// Drum mm of the sharpest scan that shows the streak.
double blur_mm(const std::vector<profile::PreparedScan>& scans, const diagnose::Explanation& e) {
  double least = 1e300;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    if (e.tracks[s].strips.empty()) continue;
    least = std::min(least, scans[s].blur_px * scans[s].strips.grid.pitch_mm);
  }
  return least < 1e300 ? least : 0;
}

// Where two ends b wide are w apart, the errors of width and depth grow without bound as w falls below 3 b,
// while their product stays known (Cramer-Rao bound of a blurred rectangular dip: with q = exp(-w^2 / 4 b^2),
// e = erf(w / 2 b), E = w e - 2 b (1 - q) / sqrt(pi), the variance of w with the depth free is that with the
// depth known times (1 + q) / (4 b sqrt(pi)) / [(1 + q) / (4 b sqrt(pi)) - e^2 / (4 E)]: 1.8 at w = 5 b, 4.8
// at 3 b, 19 at 2 b).
bool resolved(double width_mm, double blur_mm) {
  constexpr double kLeastBlurs = 3;
  return width_mm >= kLeastBlurs * blur_mm;
}

ResidueFit residue_fit(const Layout& layout, const diagnose::Explanation& e, double blur_mm) {
  std::vector<double> by_carriage(layout.carriages.size(), 0.0);
  double downstream = 0;
  const diagnose::ResidueHypothesis* best = nullptr;
  for (const auto& c : e.found.residue.all) {
    by_carriage[c.carriage] += std::exp(c.log_weight);
    if (c.downstream) downstream += std::exp(c.log_weight);
    if (best == nullptr || c.log_weight > best->log_weight) best = &c;
  }
  ResidueFit fit;
  if (best == nullptr) return fit;
  Moments x;
  Moments width;
  Moments loss;
  Moments product;
  Moments in_place;  // variance of the loss, the place given
  for (const auto& c : e.found.residue.all) {
    if (c.carriage != best->carriage) continue;
    const double w = std::exp(c.log_weight);
    x.add(w, c.x_mm + 0.5 * c.width_mm);
    width.add(w, c.width_mm);
    loss.add(w, c.loss);
    product.add(w, c.width_mm * c.loss);
    in_place.add(w, c.loss_sigma * c.loss_sigma);
  }
  // A lattice of whole columns: within a cell the place is uniform.
  const double cell = layout.px_mm() / std::sqrt(12.0);
  fit.carriage = layout.carriages[best->carriage].name;
  fit.downstream = best->downstream;
  fit.x_drum_mm = x.mean();
  fit.x_sigma_mm = std::hypot(x.sigma(), cell);
  fit.width_mm = width.mean();
  fit.width_sigma_mm = std::hypot(width.sigma(), cell);
  fit.loss = loss.mean();
  const double own = std::sqrt(std::max(1.0, e.misfit) * in_place.mean());
  fit.loss_sigma = std::hypot(loss.sigma(), own);
  fit.width_resolved = resolved(fit.width_mm, blur_mm);
  fit.width_times_loss_mm = product.mean();
  fit.width_times_loss_sigma_mm = std::hypot(product.sigma(), cell * fit.loss, fit.width_mm * own);
  fit.poor = e.discrepancy > 0.5;
  fit.probability_downstream = downstream;
  for (std::size_t q = 0; q < by_carriage.size(); ++q)
    fit.by_carriage.emplace_back(layout.carriages[q].name, by_carriage[q]);
  return fit;
}

// Whether the streak's width and loss are known apart: the contact's where it is residue, its own otherwise.
// A jet's comb is as wide as the layout has it, and haze is wide.
void set_resolved(const diagnose::Explanation& e, double blur_mm, Streak& s) {
  s.width_times_loss_mm = s.width_mm * s.loss;
  const Cause cause = s.likeliest();
  if (cause == Cause::residue && s.residue) s.width_resolved = s.residue->width_resolved;
  if (cause == Cause::drum_scratch || cause == Cause::unknown)
    s.width_resolved = resolved(e.visible_mm.to_mm - e.visible_mm.from_mm, blur_mm);
}

// Stretches along the sheet over all scans.
std::vector<Interval> joined_stretches(const std::vector<streak::Track>& tracks) {
  std::vector<Interval> all;
  for (const auto& t : tracks) all.insert(all.end(), t.y_mm.begin(), t.y_mm.end());
  return joined(std::move(all));
}

}  // namespace

Streak make_streak(const Layout& layout, const std::vector<profile::PreparedScan>& scans,
                   const diagnose::Explanation& e) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  Streak s;
  s.causes = e.causes;
  s.x_drum_mm = 0.5 * (e.visible_mm.from_mm + e.visible_mm.to_mm);
  s.x_sheet_mm = sheet_from_drum.sheet_x(s.x_drum_mm);
  s.width_mm = std::abs(sheet_from_drum.scale) * (e.visible_mm.to_mm - e.visible_mm.from_mm);
  s.loss = e.loss;
  s.z = e.z;
  double registration = 0;
  std::set<std::string> inks;
  const Cause cause = s.likeliest();
  for (std::size_t k = 0; k < scans.size(); ++k) {
    registration = std::max(registration, scans[k].x_sigma_at(s.x_drum_mm));
    if (e.tracks[k].strips.empty()) continue;
    s.scans.push_back(scans[k].index);
    for (const auto& view : scans[k].views.inked) {
      const auto& strips = e.tracks[k].strips;
      if (std::find(strips.begin(), strips.end(), view.strip) == strips.end()) continue;
      inks.insert(layout.inks[static_cast<std::size_t>(view.ink)].name);
    }
  }
  s.sigma_mm = std::abs(sheet_from_drum.scale) *
               std::hypot(e.middle_sigma_mm, registration, layout.px_mm() / std::sqrt(12.0));
  s.y_sheet_mm = joined_stretches(e.tracks);
  if (s.causes[static_cast<std::size_t>(Cause::residue)] > kWorthTelling) {
    s.residue = residue_fit(layout, e, blur_mm(scans, e));
  }
  set_resolved(e, blur_mm(scans, e), s);
  if (s.causes[static_cast<std::size_t>(Cause::dead_jet)] > kWorthTelling && !e.found.jet.empty()) {
    const auto& c = e.found.jet.best();
    s.jet = JetFit{layout.heads[c.head].name, layout.inks[c.ink].name, c.jet, c.loss};
    if (cause == Cause::dead_jet) inks = {s.jet->ink};
  }
  if (s.causes[static_cast<std::size_t>(Cause::seam_mismatch)] > kWorthTelling && !e.found.seam.empty()) {
    const auto& c = e.found.seam.best();
    s.seam = SeamFit{layout.heads[c.left_head].name, layout.heads[c.right_head].name, c.gap_mm};
  }
  s.inks.assign(inks.begin(), inks.end());
  s.contrast = seen_contrast(layout, scans, e);
  s.visible = s.contrast >= kLeastContrast;
  return s;
}

std::vector<Streak> scanner_streaks(const Layout& layout, const AnalysedScan& scan, std::size_t index,
                                    const std::vector<std::optional<bool>>& kept_column) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  const auto inverse = page::sheet_from_raster(scan.placement.map);
  const double middle_v =
      scan.placement.map.v(scan.placement.chart.sheet_mm[0] / 2, scan.placement.chart.sheet_mm[1] / 2);
  std::vector<Streak> out;
  for (std::size_t k = 0; k < scan.lines.size(); ++k) {
    const auto& line = scan.lines[k];
    Streak s;
    s.scans = {index};
    s.x_sheet_mm = inverse.x(line.u_px, middle_v);
    s.x_drum_mm = sheet_from_drum.drum_x(s.x_sheet_mm);
    s.sigma_mm = std::hypot(scan.placement.x_sigma_mm, std::abs(inverse.p[1]) / 2);
    s.width_mm = line.width_px * std::abs(inverse.p[1]);
    s.y_sheet_mm = {{0, scan.placement.chart.sheet_mm[1]}};
    s.loss = 1 - line.gain;
    s.z = line.z;
    s.kept_scan_column = kept_column[k];
    s.visible = false;  // it is not on the sheet, as far as anybody knows
    const bool on_print = kept_column[k] && !*kept_column[k];
    s.causes[static_cast<std::size_t>(on_print ? Cause::unknown : Cause::scanner_line)] = 1;
    out.push_back(std::move(s));
  }
  return out;
}

}  // namespace scrapetrace::locate_detail
