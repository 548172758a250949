#include "locate/resolution.h"

#include <array>

namespace scrapetrace::locate_detail {

namespace {

// Offered by office scanners (common practice, no source).
constexpr std::array kOffered_dpi = {100.0, 150.0, 200.0, 240.0, 300.0, 400.0, 600.0, 800.0, 1200.0};
constexpr double kLeastShown = 0.7;  // of the sheet's width and length
constexpr double kMostBed = 2.2;     // times the sheet's width and length

bool fits(double image_px, double sheet_mm, double dpi) {
  const double ratio = 25.4 * image_px / dpi / sheet_mm;
  return ratio > kLeastShown && ratio < kMostBed;
}

}  // namespace

std::vector<Resolution> stated_resolutions(const PageRaster& raster, const LocateOptions& options) {
  if (options.dpi > 0) return {{options.dpi, options.dpi, "option", true}};
  if (raster.tag_dpi_across > 0 && raster.tag_dpi_along > 0)
    return {{raster.tag_dpi_across, raster.tag_dpi_along, "tag", true}};
  return {};
}

std::vector<Resolution> resolutions_by_sheet(const PageRaster& raster, const Chart& chart) {
  const double filling = 25.4 * raster.width_px / chart.sheet_mm[0];
  std::vector<Resolution> out = {{filling, filling, "chart", false}};
  for (const double dpi : kOffered_dpi) {
    if (fits(raster.width_px, chart.sheet_mm[0], dpi) && fits(raster.height_px, chart.sheet_mm[1], dpi))
      out.push_back({dpi, dpi, "chart", true});
  }
  return out;
}

std::string resolution_unknown(const PageRaster& raster) {
  if (!raster.tag_conflict.empty())
    return "carries no believable resolution (" + raster.tag_conflict +
           "): give --dpi, or the chart with --chart";
  return "carries no believable resolution: give --dpi, or the chart with --chart";
}

}  // namespace scrapetrace::locate_detail
