#include "diagnose/search_carriages.h"

#include <algorithm>

#include "base/parallel.h"
#include "base/quantiles.h"
#include "diagnose/carriage_contacts.h"
#include "geometry/travel.h"
#include "streak/box_search.h"

namespace scrapetrace::diagnose {

namespace {

// Proposed from this part of the threshold on: what is weighed exactly has half as much noise again at
// places.
constexpr double kEase = 0.7;
constexpr std::size_t kMostProposed = 12;  // per carriage
constexpr std::size_t kMostClimbed = 4;    // of those of all carriages, each place once
constexpr double kWorthClimbing = 0.5;     // of the threshold
constexpr double kWorthMeasuring = 0.6;    // the same: no spread makes more of it
constexpr std::size_t kMostFound = 8;
constexpr std::size_t kMostRounds = 20;

// What the carriage's residue could touch at all.
streak::Signal over_print(const Layout& layout, const geometry::ColumnMap& columns, std::size_t carriage,
                          std::vector<double> values) {
  const geometry::Travel travel = geometry::travel_of(layout, carriage);
  streak::Signal out{std::move(values), columns.printed().first - travel.high_px,
                     columns.printed().last + 1 - travel.low_px};
  out.from = std::max(0, out.from);
  out.to = std::min(static_cast<int>(out.value.size()), out.to);
  return out;
}

// One scrape shows on several carriages, with echoes beside it (the interleave repeats, and jets share the
// loss out): what lies within an echo's reach of one more than twice as strong is left out, and so is what
// overlaps any stronger one.
std::vector<streak::Region> strongest(std::vector<streak::Region> regions, double echo_mm) {
  constexpr double kEcho = 0.5;  // of the z of what it echoes
  std::stable_sort(regions.begin(), regions.end(),
                   [](const streak::Region& a, const streak::Region& b) { return a.z > b.z; });
  std::vector<streak::Region> kept;
  for (const streak::Region& region : regions) {
    const bool covered = std::any_of(kept.begin(), kept.end(), [&](const streak::Region& k) {
      const double reach = region.z < kEcho * k.z ? echo_mm : 0;
      return region.x_mm.from_mm < k.x_mm.to_mm + reach && k.x_mm.from_mm < region.x_mm.to_mm + reach;
    });
    if (!covered) kept.push_back(region);
  }
  return kept;
}

double echo_mm(const Layout& layout) {
  double out = 0;
  for (std::size_t q = 0; q < layout.carriages.size(); ++q) {
    const geometry::Travel travel = geometry::travel_of(layout, q);
    out = std::max(out, 2 * (travel.high_px - travel.low_px) * layout.px_mm());
  }
  return out;
}

streak::Region region_of(const Layout& layout, const CarriageBox& box) {
  const geometry::Travel travel = geometry::travel_of(layout, box.carriage);
  const double offset_mm = layout.carriages[box.carriage].offset_mm;
  const double px = layout.px_mm();
  return {{(box.middle_px - 0.5 * box.width_px + travel.low_px) * px + offset_mm,
           (box.middle_px + 0.5 * box.width_px + travel.high_px) * px + offset_mm},
          box.z,
          true,
          false,
          true};
}

// A place is much the same from every carriage.
bool same_place(const Layout& layout, const CarriageBox& a, const CarriageBox& b) {
  const auto x_px = [&](const CarriageBox& box) {
    return box.middle_px + layout.carriages[box.carriage].offset_mm / layout.px_mm();
  };
  return a.carriage != b.carriage && std::abs(x_px(a) - x_px(b)) < 1 + 0.5 * std::max(a.width_px, b.width_px);
}

// Those that claim most by themselves.
std::vector<CarriageBox> worth_climbing(const Layout& layout, const BoxWeigher& weigher,
                                        const Proposals& proposals) {
  std::vector<CarriageBox> boxes = proposals.boxes;
  for (CarriageBox& box : boxes) box.z = weigher.claimed_z(box);
  std::stable_sort(boxes.begin(), boxes.end(),
                   [](const CarriageBox& a, const CarriageBox& b) { return a.z > b.z; });
  std::vector<CarriageBox> out;
  for (const CarriageBox& box : boxes) {
    if (box.z < kWorthClimbing * proposals.threshold || out.size() == kMostClimbed) break;
    const bool known = std::any_of(out.begin(), out.end(),
                                   [&](const CarriageBox& other) { return same_place(layout, box, other); });
    if (!known) out.push_back(box);
  }
  return out;
}

// What stands out most near them: its z is of unit variance on this page.
CarriageBox best_of(const Layout& layout, BoxWeigher& weigher, const Proposals& proposals) {
  CarriageBox best;
  for (const CarriageBox& box : worth_climbing(layout, weigher, proposals)) {
    CarriageBox climbed = weigher.climbed(box);
    if (climbed.z < kWorthMeasuring * proposals.threshold) continue;
    climbed.z /= weigher.spread(climbed.width_px);
    if (climbed.z > best.z) best = climbed;
  }
  return best;
}

}  // namespace

std::vector<double> carried_back(const Layout& layout, const geometry::ColumnMap& columns,
                                 std::size_t carriage, const std::vector<double>& evidence) {
  std::vector<double> out(evidence.size(), 0.0);
  const CarriageContacts contacts(layout, columns, carriage);
  for (const auto& c : contacts.all()) {
    if (c.place >= 0 && c.place < static_cast<int>(out.size()))
      out[static_cast<std::size_t>(c.place)] += c.weight * evidence[static_cast<std::size_t>(c.column)];
  }
  return out;
}

Proposals propose_boxes(const Layout& layout, const geometry::ColumnMap& columns,
                        const std::vector<double>& evidence, const streak::RegionOptions& options,
                        double ease) {
  std::vector<streak::Signal> signals(layout.carriages.size());
  for_each_part(signals.size(), options.threads, [&](std::size_t q) {
    signals[q] = over_print(layout, columns, q, carried_back(layout, columns, q, evidence));
  });
  streak::BoxSearchOptions search{1, options.widest_mm / layout.px_mm(), 1e-7, true};
  double cells = 0;
  for (const streak::Signal& signal : signals) cells += streak::independent_cells(signal, search);
  Proposals out;
  if (cells <= 0) return out;
  search.probability = options.false_alarm_rate / cells;
  search.ease = ease;
  out.threshold = gaussian_upper_quantile(search.probability);
  std::vector<std::vector<streak::Detection>> found(signals.size());
  for_each_part(signals.size(), options.threads,
                [&](std::size_t q) { found[q] = streak::search_boxes(signals[q], search); });
  for (std::size_t q = 0; q < signals.size(); ++q) {
    if (found[q].size() > kMostProposed) found[q].resize(kMostProposed);
    for (const streak::Detection& d : found[q]) out.boxes.push_back({q, d.centre + 0.5, d.width, d.z});
  }
  return out;
}

std::vector<streak::Region> search_carriages(const Layout& layout, const geometry::ColumnMap& columns,
                                             const ColumnEvidence& evidence,
                                             const streak::RegionOptions& options) {
  BoxWeigher weigher(layout, columns, evidence, options.widest_mm / layout.px_mm(), options.threads);
  std::vector<CarriageBox> found;
  double threshold = 0;
  for (std::size_t round = 0; round < kMostRounds && found.size() < kMostFound; ++round) {
    const Proposals proposals = propose_boxes(layout, columns, weigher.left(), options, kEase);
    threshold = proposals.threshold;
    const CarriageBox best = best_of(layout, weigher, proposals);
    if (best.z <= 0 || best.z < threshold) break;
    const auto ink = weigher.ink_alone(best);
    if (!ink && weigher.inks_agree(best)) found.push_back(best);
    weigher.take_out(best, ink);
  }
  std::vector<streak::Region> regions;
  for (const CarriageBox& box : found) regions.push_back(region_of(layout, box));
  return strongest(std::move(regions), echo_mm(layout));
}

}  // namespace scrapetrace::diagnose
