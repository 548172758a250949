#pragma once
// The bench sheet with tags along its edges, and pictures of it.

#include "press/camera.h"
#include "scrapetrace/photo.h"
#include "support/raster_of.h"

namespace scrapetrace::testing {

// Ten tags of 6 mm around three bands.
inline Chart tagged_chart() {
  Chart chart;
  chart.name = "tagged bench";
  chart.sheet_mm = {100, 120};
  chart.patches = {{{"cyan"}, {4, 96}, {14, 44}, 1},
                   {{"magenta"}, {4, 96}, {48, 74}, 1},
                   {{"cyan", "magenta"}, {4, 96}, {78, 106}, 1}};
  int id = 20;
  for (const double y : {7.0, 113.0}) {
    for (const double x : {9.0, 29.5, 50.0, 70.5, 91.0}) chart.marks.push_back({"tag", id++, {x, y}, 6});
  }
  return chart;
}

inline PageRaster photo_of(const Layout& layout, const Chart& chart, const CameraOptions& camera,
                           std::uint64_t seed = 1) {
  ScanOptions scan;
  scan.scan_seed = seed;
  scan.threads = 1;
  const auto image = simulate_photo(layout, chart, {}, {}, scan, camera);
  if (!image) {
    ADD_FAILURE() << image.problems()[0].what;
    return {};
  }
  return raster_of(*image);
}

inline CameraOptions phone() {
  CameraOptions camera;
  camera.width_px = 1200;
  camera.height_px = 1500;
  camera.tilt_deg = 20;
  camera.fall_off = 0.3;
  return camera;
}

}  // namespace scrapetrace::testing
