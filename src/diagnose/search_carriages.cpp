#include "diagnose/search_carriages.h"

#include <algorithm>
#include <cmath>

#include "geometry/contact.h"
#include "geometry/frames.h"
#include "geometry/travel.h"
#include "streak/box_search.h"

namespace scrapetrace::diagnose {

namespace {

// Evidence of single columns has heavier tails than a Gaussian: jets' relief is not quite linear, paper and
// scanner are not quite as the page's fit has them. Pages rendered by other code than ours passed the
// threshold proper by up to a third where nothing was wrong.
constexpr double kHeavyTail = 1.4;
// Contacts of a column or few draw the combs that jets draw, and what jets do besides laying more or less
// (they land beside their columns, too) is not in the page's fit.
constexpr double kHeavyTailOfNarrow = 1.8;
constexpr double kNarrow_columns = 3;

double side_weight(const Layout& layout, std::size_t laying, std::size_t touching) {
  return 0.5 * (geometry::touches_after_laying(layout, laying, touching, false) ? 1 : 0) +
         0.5 * (geometry::touches_after_laying(layout, laying, touching, true) ? 1 : 0);
}

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

}  // namespace

std::vector<double> carried_back(const Layout& layout, const geometry::ColumnMap& columns,
                                 std::size_t carriage, const std::vector<double>& evidence) {
  std::vector<double> out(evidence.size(), 0.0);
  const double offset_mm = layout.carriages[carriage].offset_mm;
  for (int c = columns.printed().first; c <= columns.printed().last; ++c) {
    const geometry::Owner owner = columns.owner(c);
    const double here = evidence[static_cast<std::size_t>(c)];
    if (owner.nobody() || here == 0) continue;
    const std::size_t laying = layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double x_px = (geometry::drum_x_of_column(layout, c, laying) - offset_mm) / layout.px_mm();
    for (int k = owner.pass; k < layout.passes(); ++k) {
      const int at = static_cast<int>(std::floor(x_px)) - layout.shift_of(carriage, k);
      if (at < 0 || at >= static_cast<int>(out.size())) continue;
      out[static_cast<std::size_t>(at)] +=
          here * (k == owner.pass ? side_weight(layout, laying, carriage) : 1);
    }
  }
  return out;
}

std::vector<streak::Region> search_carriages(const Layout& layout, const geometry::ColumnMap& columns,
                                             const std::vector<double>& evidence,
                                             const streak::RegionOptions& options) {
  const double px = layout.px_mm();
  std::vector<streak::Signal> signals;
  streak::BoxSearchOptions box{1, options.widest_mm / px, 1e-7, true};
  double cells = 0;
  for (std::size_t q = 0; q < layout.carriages.size(); ++q) {
    signals.push_back(over_print(layout, columns, q, carried_back(layout, columns, q, evidence)));
    cells += streak::independent_cells(signals.back(), box);
  }
  std::vector<streak::Region> regions;
  double echo_mm = 0;
  if (cells <= 0) return regions;
  box.probability = options.false_alarm_rate / cells;
  for (std::size_t q = 0; q < signals.size(); ++q) {
    const geometry::Travel travel = geometry::travel_of(layout, q);
    echo_mm = std::max(echo_mm, 2 * (travel.high_px - travel.low_px) * px);
    for (const streak::Detection& d : streak::search_boxes(signals[q], box)) {
      const double tail = d.width <= kNarrow_columns ? kHeavyTailOfNarrow : kHeavyTail;
      if (d.z < tail * d.threshold) continue;
      const double middle = d.centre + 0.5;
      const double offset_mm = layout.carriages[q].offset_mm;
      regions.push_back({{(middle - 0.5 * d.width + travel.low_px) * px + offset_mm,
                          (middle + 0.5 * d.width + travel.high_px) * px + offset_mm},
                         d.z,
                         true,
                         false,
                         true});
    }
  }
  return strongest(std::move(regions), echo_mm);
}

}  // namespace scrapetrace::diagnose
