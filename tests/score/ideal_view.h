#pragma once
// What the ideal reader sees of each solid patch: the mean light in narrow bins across the drum, of pixels at
// their true places. It knows the map, the point spread, the inks and every other cause.

#include <array>
#include <cstddef>
#include <map>
#include <tuple>
#include <vector>

#include "geometry/column_map.h"
#include "press/scan_from_sheet.h"
#include "press/strips.h"
#include "score/case.h"
#include "scrapetrace/page.h"

namespace scrapetrace::score {

// How much of its ink each jet lays, by (head, jet, ink); jets that are not named lay 1.
using JetKey = std::tuple<int, int, std::size_t>;
using JetVolumes = std::map<JetKey, double>;

// A layer of ink on a strip: a column, and what it holds before the residue.
struct Layer {
  int column = -1;
  geometry::Owner owner;
  std::array<double, 3> density{};          // natural log, per channel, all inks
  std::array<double, 3> spread{};           // half the variance of that density: grain and mottle
  std::vector<std::array<double, 3>> inks;  // the part of each of the patch's inks in `density`
};

struct ViewStrip {
  double from_mm = 0;  // drum
  double to_mm = 0;
  std::array<double, 3> light{};  // of the paper, haze over it
  std::vector<Layer> layers;      // none: bare paper
};

// A bin of pixels.
struct Sample {
  double x_mm = 0;                // drum, mean over its pixels
  double rows = 0;                // pixels averaged
  std::array<double, 3> value{};  // mean light; 0 until read
  std::size_t first_strip = 0;    // the first that its pixels see
  std::vector<double> weight;     // of the strips from there on: mean over its pixels
};

struct PatchView {
  std::vector<std::size_t> inks;
  double length_mm = 0;    // along the sheet, of what was averaged
  double raster_rows = 0;  // of the print, under it
  std::vector<ViewStrip> strips;
  std::vector<Sample> samples;
};

struct IdealView {
  const Layout* layout = nullptr;
  PrintOptions print;
  ScanOptions scan;
  Interval window_mm;  // drum
  JetVolumes volumes;  // what the layers hold already
  std::vector<PatchView> patches;
};

// Of one sheet, over a part of the drum. Without a raster the samples have places but no values. Tints and
// patches that lie over another are left out.
IdealView make_ideal_view(const Case& drawn, const Sheet& sheet, Interval window_mm,
                          const PageRaster* raster);

// The same view when jets lay `volumes`.
IdealView with_volumes(IdealView view, const JetVolumes& volumes);

// What the residue touches and some print around it.
Interval ideal_window(const Case& drawn);

}  // namespace scrapetrace::score
