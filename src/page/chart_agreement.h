#pragma once
// Scores candidate placements of a chart on a coarse map.

#include <cstddef>
#include <vector>

#include "page/coarse_map.h"
#include "page/expected_colour.h"
#include "page/raster_from_sheet.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::page {

class ChartAgreement {
 public:
  // `map` must outlive this.
  ChartAgreement(const CoarseMap& map, const Layout& layout, const Chart& chart, bool grey);

  // Correlation of seen and expected linear signal at points 2 mm apart, over the part of the sheet that the
  // raster shows. Patches outside the raster count half, as if seen bare: a placement may neither hide ink
  // outside the image nor drag cropped ink onto visible paper.
  [[nodiscard]] double of(const RasterFromSheet& place) const { return agreement(runs_, place); }
  // From every fifth row of points: enough to rank candidates.
  [[nodiscard]] double roughly(const RasterFromSheet& place) const { return agreement(sparse_, place); }

 private:
  // Points of a row on the same patch; the last kind is bare paper.
  struct Run {
    double x_mm = 0;  // of the first point
    double y_mm = 0;
    int points = 0;
    std::size_t kind = 0;
  };
  // Sums over one kind.
  struct Seen {
    double points = 0;
    double hidden = 0;
    Rgb sum{};
    Rgb squares{};
  };
  void add(const Run& run, const RasterFromSheet& place, Seen& seen) const;
  [[nodiscard]] double agreement(const std::vector<Run>& runs, const RasterFromSheet& place) const;

  const CoarseMap& map_;
  std::vector<Run> runs_;
  std::vector<Run> sparse_;    // every fifth row
  std::vector<Rgb> expected_;  // per kind
};

}  // namespace scrapetrace::page
