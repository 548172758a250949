#pragma once
// One scan, ready to be judged: its profiles, and how well its light and its place are known.

#include <cstddef>
#include <vector>

#include "profile/ink_view.h"
#include "profile/strips.h"

namespace scrapetrace::profile {

// How well a place across the drum is known (standard deviation).
struct DrumError {
  double x_mm = 0;
  double sigma_mm = 0;
};

struct PreparedScan {
  std::size_t index = 0;  // in the caller's list
  Strips strips;
  InkViews views;
  double blur_px = 0.85;              // point spread across, scan pixels, resampling included
  std::vector<double> patch_blur_px;  // the same on each patch of the chart; empty: blur_px everywhere
  double x_sigma_mm = 0.02;           // registration, drum mm
  double smear_mm = 0;                // how far a lossy coder carries what an edge does; 0: none that matters
  bool light_adds_up = true;          // false: sharpened, coarsely coded, out of focus, or of a doubted chart
  bool jets_in_place = true;  // false: a head stands off from the layout, so that nobody knows which jet
                              // laid a column
  std::vector<DrumError> x_errors;  // the same by place, ascending in X; empty: x_sigma_mm everywhere
  [[nodiscard]] double x_sigma_at(double x_drum_mm) const;
};

}  // namespace scrapetrace::profile
