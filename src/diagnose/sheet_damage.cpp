#include "diagnose/sheet_damage.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::diagnose {

namespace {

constexpr double kStrip_mm = 12;     // lengths count in these
constexpr double kLocal_mm = 30;     // shorter is local, where
constexpr double kLocalPart = 0.25;  // it is less of what could show it
constexpr double kWhole = 0.9;       // of what could show it: the whole
constexpr double kPlaces = 0.4;      // of damage on a page, for each contact: judgement, no source
constexpr double kPerPlace = 0.5;    // more of them for each other place that shows locally
constexpr double kComesAndGoes =
    0.15;                           // of contacts show on a part only, any part alike: judgement, no source
constexpr double kShows = 5;        // standard deviations: a second sheet shows it
constexpr double kSlant_mm = 0.35;  // less is what scanners wobble and sheets stretch
constexpr double kSlantSigmas = 4;
constexpr double kSlantedDamage = 5;  // log units
constexpr double kSecondSheet = -8;   // log units
constexpr double kMostByShape = 2;    // log units
constexpr double kStraightPerStrip = 0.5;

double length_mm(const profile::PreparedScan& scan, std::size_t strip) {
  const Interval& y = scan.strips.strips[strip].y_mm;
  return y.to_mm - y.from_mm;
}

// Where a strip's loss lies across, and its weight.
struct Place {
  double y_mm = 0;
  double x_mm = 0;
  double weight = 0;
};

std::vector<Place> places(const profile::PreparedScan& scan, const streak::Track& track, Interval x_mm) {
  constexpr double kBeside_mm = 0.5;
  std::vector<Place> out;
  for (const std::size_t index : track.strips) {
    const profile::Strip& strip = scan.strips.strips[index];
    const profile::Grid& grid = scan.strips.grid;
    const int from =
        std::max(strip.from, static_cast<int>(std::floor(grid.index(x_mm.from_mm - kBeside_mm))));
    const int to = std::min(strip.to, static_cast<int>(std::ceil(grid.index(x_mm.to_mm + kBeside_mm))) + 1);
    Place place{0.5 * (strip.y_mm.from_mm + strip.y_mm.to_mm), 0, 0};
    for (const auto& view : scan.views.inked) {
      if (view.strip != index) continue;
      for (int i = from; i < to; ++i) {
        const double loss = std::max(0.0, static_cast<double>(view.loss[static_cast<std::size_t>(i)]));
        place.weight += loss * loss;  // what is deep is hardly noise
        place.x_mm += loss * loss * grid.at(i);
      }
    }
    if (place.weight <= 0) continue;
    place.x_mm /= place.weight;
    out.push_back(place);
  }
  return out;
}

// By least squares on the strips' middles.
bool slants(const std::vector<Place>& places) {
  if (places.size() < 4) return false;
  double y = 0;
  double x = 0;
  for (const Place& p : places) y += p.y_mm, x += p.x_mm;
  y /= static_cast<double>(places.size());
  x /= static_cast<double>(places.size());
  double yy = 0;
  double xy = 0;
  for (const Place& p : places) {
    yy += (p.y_mm - y) * (p.y_mm - y);
    xy += (p.y_mm - y) * (p.x_mm - x);
  }
  if (yy <= 0) return false;
  const double slope = xy / yy;
  double left = 0;
  for (const Place& p : places) left += std::pow(p.x_mm - x - slope * (p.y_mm - y), 2);
  const double sigma = std::sqrt(left / (static_cast<double>(places.size()) - 2) / yy);
  const auto [low, high] = std::minmax_element(
      places.begin(), places.end(), [](const Place& a, const Place& b) { return a.y_mm < b.y_mm; });
  return std::abs(slope) * (high->y_mm - low->y_mm) > kSlant_mm && std::abs(slope) > kSlantSigmas * sigma;
}

}  // namespace

Extent extent_of(const std::vector<profile::PreparedScan>& scans, const streak::Region& region,
                 const std::vector<streak::Track>& tracks, bool same_sheet) {
  Extent out;
  for (std::size_t s = 0; s < scans.size(); ++s) {
    const streak::Track& track = tracks[s];
    double shown_mm = 0;
    double silent_mm = 0;
    for (const Interval& y : track.y_mm) shown_mm += y.to_mm - y.from_mm;
    // Of all inks: what touches the drum takes from each.
    for (const std::size_t strip : track.silent) silent_mm += length_mm(scans[s], strip);
    out.shown_mm = same_sheet ? std::max(out.shown_mm, shown_mm) : out.shown_mm + shown_mm;
    out.silent_mm = same_sheet ? std::max(out.silent_mm, silent_mm) : out.silent_mm + silent_mm;
    if (!track.y_mm.empty() && track.z > kShows) ++out.sheets;
    if (region.ink_lost) out.slanted = out.slanted || slants(places(scans[s], track, region.x_mm));
  }
  if (same_sheet) out.sheets = std::min(out.sheets, 1);
  return out;
}

bool is_local(const Extent& extent) {
  if (extent.sheets > 1) return false;
  const double could_mm = extent.shown_mm + extent.silent_mm;
  return extent.slanted || (extent.shown_mm < kLocal_mm && extent.shown_mm < kLocalPart * could_mm);
}

double log_odds_of_damage(const Extent& extent, double damaged_places) {
  const double shown = std::max(1.0, extent.shown_mm / kStrip_mm);
  const double could = std::max(shown, (extent.shown_mm + extent.silent_mm) / kStrip_mm);
  const bool whole = extent.silent_mm < 0.5 * kStrip_mm || shown > kWhole * could;
  const double by_contact = whole ? 1 - kComesAndGoes : kComesAndGoes / could;
  // The lengths of damage are log-uniform.
  double by_damage = 1 / (shown * (1 + std::log(could)));
  if (!extent.slanted) by_damage /= 1 + kStraightPerStrip * std::max(0.0, shown - 2);
  double log_odds = std::log((kPlaces + kPerPlace * damaged_places) * by_damage / by_contact);
  if (extent.slanted) log_odds += kSlantedDamage;
  if (extent.sheets > 1) log_odds += kSecondSheet;
  return log_odds;
}

void weigh_damage(const Extent& extent, double damaged_places, Explanation& explanation) {
  const double by_shape = std::min(kMostByShape, explanation.beats_box) * (1 - explanation.discrepancy);
  const double odds = std::exp(log_odds_of_damage(extent, damaged_places) - by_shape);
  const double jet = explanation.causes[static_cast<std::size_t>(Cause::dead_jet)];
  const double sum = 1 + odds * (1 - jet);
  for (double& p : explanation.causes) p /= sum;
  explanation.causes[static_cast<std::size_t>(Cause::sheet_damage)] = odds * (1 - jet) / sum;
}

}  // namespace scrapetrace::diagnose
