#pragma once
// A page as strips: bands of one patch (or of bare paper), each averaged along the fitted process direction
// into one profile across the drum. Never straight down the scan: each block of rows is shifted by the skew.

#include <array>
#include <vector>

#include "page/placement.h"
#include "profile/sampling.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace::profile {

// Sample positions across, in drum X, one scan pixel apart: X_i = first_mm + i * pitch_mm.
struct Grid {
  double first_mm = 0;
  double pitch_mm = 1;
  int size = 0;
  [[nodiscard]] double at(double i) const { return first_mm + i * pitch_mm; }
  [[nodiscard]] double index(double x_drum_mm) const { return (x_drum_mm - first_mm) / pitch_mm; }
};

struct Strip {
  int patch = -1;  // index into the chart's patches; -1: bare paper
  Interval y_mm;   // sheet
  int from = 0;    // samples [from, to) of the grid are valid
  int to = 0;
  std::array<std::vector<float>, 3> linear;  // mean linear signal, full scale 1; grid-sized
  double rows = 0;                           // scan rows averaged, where most were
  Phases phases;                             // where between pixels they were sampled
  std::vector<bool> bridged;  // grid-sized, or empty for none: samples that only masked columns would show
};

struct Strips {
  Grid grid;
  std::vector<Strip> strips;  // by y, then patch
};

// Of all strips.
Phases phases_of(const Strips& strips);

struct StripOptions {
  double length_mm = 12.0;      // of a strip along the sheet, about
  double inset_y_mm = 0.6;      // kept away from a patch's ends
  double inset_x_mm = 0.25;     // and from its sides, beyond three blur sigmas
  double smear_mm = 0;          // instead, from sides whose step a lossy coder smears
  double least_white_mm = 1.2;  // shortest band of bare paper used
  int threads = 1;              // the strips do not depend on it
};

// A column of the raster to leave out (a line of the scanner's), as raster u range [from, to).
struct MaskedColumns {
  int from = 0;
  int to = 0;
};

// Interpolates with a cubic (sampling.h), so that most fine structure survives the shift. Samples that meet
// masked columns count for next to nothing beside other rows; alone, they are bridged.
Strips extract_strips(const PageRaster& raster, const page::Placement& placement, const Layout& layout,
                      const std::vector<MaskedColumns>& masked, const StripOptions& options);

}  // namespace scrapetrace::profile
