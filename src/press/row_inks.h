#pragma once
// Ink amounts and haze per strip for a raster row, before grain and mottle. Rows in the same patches and
// causes share one RowInks.

#include <cstddef>
#include <cstdint>
#include <vector>

#include "geometry/column_map.h"
#include "press/strips.h"
#include "scrapetrace/causes.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

struct InkRow {
  std::size_t ink = 0;  // index into Layout::inks
  int first = 0;        // strips [first, last] hold any ink
  int last = -1;
  bool screened = false;        // some coverage is below 1
  std::vector<float> amount;    // per strip, 1 = the layout's solid
  std::vector<float> coverage;  // per strip
};

struct RowInks {
  std::vector<InkRow> inks;  // those with any ink in the row
  std::vector<float> haze;   // neutral density per strip; empty: none
};

// All rows of a print. Row r covers sheet y [r, r + 1) * 25.4 / process_dpi and is printed when its centre
// lies inside the patch; columns likewise.
class RowPlan {
 public:
  RowPlan(const Layout& layout, const Chart& chart, const Causes& causes, const PrintOptions& print,
          const geometry::ColumnMap& map, const Strips& strips, int first_row, int last_row);
  // Rows outside [first_row, last_row] equal those at the ends.
  [[nodiscard]] const RowInks& row(int r) const;

 private:
  int first_row_ = 0;
  std::vector<std::uint32_t> kind_of_row_;
  std::vector<RowInks> kinds_;
};

}  // namespace scrapetrace::press
