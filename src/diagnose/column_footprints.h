#pragma once
// Which columns a sample of a scan sees, through the scan's blur.

#include <utility>
#include <vector>

#include "base/ragged.h"
#include "diagnose/scene.h"
#include "geometry/column_map.h"

namespace scrapetrace::diagnose {

struct SeenColumn {
  int column = 0;
  double weight = 0;  // part that it makes up of what the sample sees of the print
};

// How the weight changes with the scan's place and with its blur.
struct SeenSlopes {
  double by_shift = 0;  // per drum millimetre that the sample lies further right
  double by_blur = 0;   // per millimetre of blur
};

// How a scan lies on the columns besides its registration, and how sharp it is.
struct ScanLie {
  double first_mm = 0;  // drum place of the first knot
  double step_mm = 60;  // from knot to knot; straight lines between them
  std::vector<double>
      shift_mm;  // at the knots: how far right of its registration a sample lies; empty: not at all
  double blur_mm = 0.1;
  profile::Phases phases;  // of its samples

  struct Knot {
    std::size_t left = 0;
    double right_part = 0;  // of the knot after it
  };
  [[nodiscard]] Knot knot(double x_drum_mm) const;
  [[nodiscard]] double shift_at(double x_drum_mm) const;
};

// As registered, with room for shifts over all that the scan sees.
ScanLie registered(const PreparedScan& scan);

class ColumnFootprints {
 public:
  // A column with an owner is a box one raster step wide about its middle as it is laid, seen through the
  // scan's point spread; beyond four blur lengths it is left out. Where carriages stand off from each other
  // the parts are of what is laid once. The same for any number of threads.
  ColumnFootprints(const Layout& layout, const geometry::ColumnMap& columns, const profile::Grid& grid,
                   ScanLie lie, int threads = 1);

  // Per sample of the scan's grid.
  [[nodiscard]] const Ragged<SeenColumn>& seen() const { return seen_; }
  // [first, second): those that see any of the columns.
  [[nodiscard]] std::pair<int, int> samples_of(int first_column, int last_column) const;
  // Of the weight that a column has in a sample.
  [[nodiscard]] SeenSlopes slopes_at(int sample, int column) const;
  [[nodiscard]] const ScanLie& lie() const { return lie_; }

 private:
  void fill_in(const geometry::ColumnMap& columns, int threads);
  void share_out_beside(const geometry::SeamEnds& ends);
  // From a sample to the middle of a column, on the drum.
  [[nodiscard]] double to_column_mm(int sample, int column) const;

  profile::Grid grid_;
  ScanLie lie_;
  PointSpread spread_;
  double half_mm_;
  std::vector<std::pair<int, int>> samples_;  // per column
  std::vector<double> middle_mm_;             // per column
  Ragged<SeenColumn> seen_;
};

}  // namespace scrapetrace::diagnose
