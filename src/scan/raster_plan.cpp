#include "scan/raster_plan.h"

#include <algorithm>
#include <cmath>

#include "scan/pixel_statistics.h"

namespace scrapetrace::scan {

namespace {

// Approximate cells along the longer side: a tag of 8 mm on an A3 sheet then has some 60 cells a side.
constexpr double kCells = 3200;

}  // namespace

double believable_dpi(double pixels_per_mm) {
  const double dpi = pixels_per_mm * 25.4;
  for (const double stand_in : {72.0, 96.0}) {
    if (std::abs(dpi - stand_in) < 0.6) return 0;
  }
  const bool unknown = std::abs(dpi - 25.4) < 0.01;
  return unknown || !(dpi >= 60 && dpi <= 4900) ? 0 : dpi;
}

bool lies_across(int width, int height, double dpi_across, const ReadOptions& options) {
  if (options.lead_edge)
    return *options.lead_edge == ImageSide::left || *options.lead_edge == ImageSide::right;
  if (options.sheet_mm) {
    const double sheet = std::log((*options.sheet_mm)[1] / (*options.sheet_mm)[0]);
    const double seen = std::log(static_cast<double>(height) / width);
    return std::abs(seen - sheet) > std::abs(-seen - sheet) + 1e-9;
  }
  if (dpi_across > 0 && options.drum_width_mm > 0) {
    const double width_mm = 25.4 * width / dpi_across;
    const double height_mm = 25.4 * height / dpi_across;
    return width_mm > options.drum_width_mm + 10 && height_mm < options.drum_width_mm + 10;
  }
  return false;
}

int rows_per_block(int height_px, double tag_dpi, const ReadOptions& options) {
  double dpi = options.dpi > 0 ? options.dpi : tag_dpi;
  if (dpi <= 0 && options.sheet_mm) dpi = 25.4 * height_px / (*options.sheet_mm)[1];
  if (dpi <= 0) dpi = 300;
  return std::clamp(static_cast<int>(std::lround(options.block_mm * dpi / 25.4)), 1, 64);
}

int px_per_cell(int width_px, int height_px) {
  return std::max(1, static_cast<int>(std::lround(std::max(width_px, height_px) / kCells)));
}

int sampled_rows(int height_px) {
  return (height_px + kEveryRow - 1 - kFirstRow) / kEveryRow;
}

}  // namespace scrapetrace::scan
