#include "accept/streak_colour.h"

#include <algorithm>
#include <cmath>

#include "geometry/contact.h"
#include "visual/print_colour.h"

namespace scrapetrace::accept_detail {

namespace {

using visual::Print;

// Missing ink per column, of one or all inks; or added density.
struct Damage {
  std::vector<double> loss;
  std::optional<std::size_t> ink;  // none: all inks alike
  std::vector<double> added;
};

std::size_t named(const auto& list, const std::string& name) {
  return static_cast<std::size_t>(
      std::find_if(list.begin(), list.end(), [&](const auto& item) { return item.name == name; }) -
      list.begin());
}

Damage of_residue(const Layout& layout, const geometry::ColumnMap& columns, const ResidueFit& fit) {
  const auto touches = geometry::count_touches(layout, columns,
                                               {named(layout.carriages, fit.carriage), fit.downstream,
                                                fit.x_drum_mm - fit.width_mm / 2, fit.width_mm});
  Damage out;
  for (const auto n : touches.n) out.loss.push_back(1 - std::pow(1 - fit.loss, n));
  return out;
}

Damage of_jet(const Layout& layout, const geometry::ColumnMap& columns, const JetFit& fit) {
  const auto where = geometry::columns_of_jet(layout, columns, named(layout.heads, fit.head), fit.jet);
  Damage out;
  out.ink = named(layout.inks, fit.ink);
  if (where.empty()) return out;
  const auto [first, last] = std::minmax_element(where.begin(), where.end());
  out.loss.assign(static_cast<std::size_t>(*last - *first + 1), 0.0);
  for (const int column : where) out.loss[static_cast<std::size_t>(column - *first)] = fit.loss;
  return out;
}

Damage of_box(const Layout& layout, const Streak& streak) {
  const double width_mm = streak.width_mm / layout.transfer.scale_cross;
  const auto columns = static_cast<std::size_t>(std::max(1L, std::lround(width_mm / layout.px_mm())));
  Damage out;
  // A streak narrower than a column keeps its area.
  const double fill = std::min(1.0, width_mm / (static_cast<double>(columns) * layout.px_mm()));
  out.loss.assign(columns, streak.loss * fill);
  return out;
}

// A Gaussian, over three times its full width at half maximum.
Damage of_haze(const Layout& layout, const Streak& streak) {
  const double fwhm_mm = streak.width_mm / layout.transfer.scale_cross;
  const auto half = static_cast<int>(std::ceil(1.5 * fwhm_mm / layout.px_mm()));
  Damage out;
  for (int c = -half; c <= half; ++c)
    out.added.push_back(-streak.loss * std::exp2(-std::pow(2 * c * layout.px_mm() / fwhm_mm, 2)));
  return out;
}

Damage damage_of(const Layout& layout, const geometry::ColumnMap& columns, const Streak& streak) {
  const Cause cause = streak.likeliest();
  if (streak.loss < 0) return of_haze(layout, streak);
  if (cause == Cause::residue && streak.residue) return of_residue(layout, columns, *streak.residue);
  if (cause == Cause::dead_jet && streak.jet) return of_jet(layout, columns, *streak.jet);
  return of_box(layout, streak);
}

std::vector<Print> prints_of(const Layout& layout, const Chart* chart, const Streak& streak) {
  std::vector<Print> prints;
  if (streak.loss < 0) return {Print{}};
  if (chart == nullptr) {
    for (const auto& ink : streak.inks) prints.push_back({{named(layout.inks, ink)}, 1});
    return prints;
  }
  for (const auto& patch : chart->patches) {
    Print print{{}, patch.coverage};
    bool shows = false;
    for (const auto& ink : patch.inks) {
      print.inks.push_back(named(layout.inks, ink));
      shows = shows || std::find(streak.inks.begin(), streak.inks.end(), ink) != streak.inks.end();
    }
    if (shows) prints.push_back(std::move(print));
  }
  return prints;
}

visual::Lab colour(const Layout& layout, const Print& print, const Damage& damage, double loss,
                   double added) {
  std::vector<double> kept;
  for (const std::size_t ink : print.inks) kept.push_back(damage.ink && *damage.ink != ink ? 1 : 1 - loss);
  return visual::colour_of(layout, print, kept, added);
}

}  // namespace

std::vector<ColourProfile> colour_profiles(const Layout& layout, const geometry::ColumnMap& columns,
                                           const Chart* chart, const Streak& streak) {
  const Damage damage = damage_of(layout, columns, streak);
  std::vector<ColourProfile> profiles;
  for (const Print& print : prints_of(layout, chart, streak)) {
    const auto beside = colour(layout, print, damage, 0, 0);
    ColourProfile profile;
    for (const double loss : damage.loss)
      profile.push_back(visual::delta_e_2000(beside, colour(layout, print, damage, loss, 0)));
    for (const double added : damage.added)
      profile.push_back(-visual::delta_e_2000(beside, colour(layout, print, damage, 0, added)));
    profiles.push_back(std::move(profile));
  }
  return profiles;
}

}  // namespace scrapetrace::accept_detail
