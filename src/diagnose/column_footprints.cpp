#include "diagnose/column_footprints.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/frames.h"

namespace scrapetrace::diagnose {

std::vector<std::vector<SeenColumn>> seen_columns(const Layout& layout, const geometry::ColumnMap& columns,
                                                  const PreparedScan& scan) {
  constexpr double kReach_blurs = 4;
  const profile::Grid& grid = scan.strips.grid;
  const double half_mm = 0.5 * layout.px_mm();
  const double blur_mm = scan.blur_px * grid.pitch_mm;
  const double reach_mm = kReach_blurs * blur_mm + half_mm;
  const double scale = 1 / (blur_mm * std::numbers::sqrt2);
  std::vector<std::vector<SeenColumn>> out(static_cast<std::size_t>(grid.size));
  for (int c = columns.printed().first; c <= columns.printed().last; ++c) {
    const geometry::Owner owner = columns.owner(c);
    if (owner.nobody()) continue;
    const double middle_mm =
        geometry::drum_x_of_column(layout, c, layout.heads[static_cast<std::size_t>(owner.head)].carriage);
    const int from = std::max(0, static_cast<int>(std::ceil(grid.index(middle_mm - reach_mm))));
    const int to = std::min(grid.size - 1, static_cast<int>(std::floor(grid.index(middle_mm + reach_mm))));
    for (int i = from; i <= to; ++i) {
      const double d = grid.at(i) - middle_mm;
      const double weight = 0.5 * (std::erf((d + half_mm) * scale) - std::erf((d - half_mm) * scale));
      out[static_cast<std::size_t>(i)].push_back({c, weight});
    }
  }
  return out;
}

}  // namespace scrapetrace::diagnose
