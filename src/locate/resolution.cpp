#include "locate/resolution.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "geometry/column_map.h"

namespace scrapetrace::locate_detail {

namespace {

// Offered by office scanners (common practice, no source).
constexpr std::array kOffered_dpi = {100.0, 150.0, 200.0, 240.0, 300.0, 400.0, 600.0, 800.0, 1200.0};
constexpr double kLeastShown = 0.7;  // of the sheet's width and length
constexpr double kMostBed = 2.2;     // times the sheet's width and length
constexpr double kLeastPart = 0.3;   // of a sheet's shorter side: what shows less is no scan of it
constexpr double kTagError = 0.015;  // relative; paper stretches less
constexpr double kFoundSide_mm = 1;  // that the sides of a print found without a chart are off by

bool fits(double image_px, double sheet_mm, double dpi) {
  const double ratio = 25.4 * image_px / dpi / sheet_mm;
  return ratio > kLeastShown && ratio < kMostBed;
}

std::string whole(double value) {
  return std::to_string(std::lround(value));
}

std::string size_of(double across, double along, const char* unit) {
  return whole(across) + " x " + whole(along) + " " + unit;
}

// What the file says for itself, where the user says something else.
std::string tags_instead(const PageRaster& raster, const LocateOptions& options) {
  if (raster.tag_dpi_across <= 0 || !is_off(raster.tag_dpi_across, options.dpi)) return "";
  return " (the file says " + size_of(raster.tag_dpi_across, raster.tag_dpi_along, "dpi") + ")";
}

}  // namespace

bool dpi_given(const PageRaster& raster, const LocateOptions& options) {
  return options.dpi > 0 && raster.flattening_sigma_mm <= 0;
}

std::vector<Resolution> stated_resolutions(const PageRaster& raster, const LocateOptions& options) {
  if (dpi_given(raster, options)) return {{options.dpi, options.dpi, "option", true}};
  return tagged_resolutions(raster);
}

std::vector<Resolution> tagged_resolutions(const PageRaster& raster) {
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

bool is_off(double measured_dpi, double stated_dpi) {
  return std::abs(measured_dpi / stated_dpi - 1) > kTagError;
}

std::string dpi_contradicted(const LocateOptions& options, const PageRaster& raster, double across_dpi,
                             double along_dpi, const std::string& shown_by) {
  return "cannot have " + whole(options.dpi) + " dpi, as --dpi says: " + shown_by + " measures " +
         size_of(across_dpi, along_dpi, "dpi") + tags_instead(raster, options) +
         "; leave --dpi out, or give the resolution that the sheet was scanned at";
}

std::string dpi_against_size(const Layout& layout, const Chart* chart, const PageRaster& raster,
                             const LocateOptions& options) {
  if (!dpi_given(raster, options)) return {};
  const double width_mm = 25.4 * raster.width_px / options.dpi;
  const double height_mm = 25.4 * raster.height_px / options.dpi;
  const double sheet_mm =
      chart != nullptr ? std::min(chart->sheet_mm[0], chart->sheet_mm[1]) : layout.drum.width_mm;
  const bool too_small = std::max(width_mm, height_mm) < kLeastPart * sheet_mm;
  const bool too_large = std::min(width_mm, height_mm) > kMostBed * sheet_mm;
  if (!too_small && !too_large) return {};
  return "cannot have " + whole(options.dpi) + " dpi, as --dpi says: the image would measure " +
         size_of(width_mm, height_mm, "mm") + ", and " +
         (chart != nullptr ? "the sheet of the chart \"" + chart->name + "\" " +
                                 size_of(chart->sheet_mm[0], chart->sheet_mm[1], "mm")
                           : "the machine's drum is " + whole(layout.drum.width_mm) + " mm wide") +
         tags_instead(raster, options) +
         "; leave --dpi out, or give the resolution that the sheet was scanned at";
}

std::string dpi_against_heads(const Layout& layout, const Chart& found, const Resolution& used) {
  Interval print_mm{1e9, -1e9};
  for (const Patch& patch : found.patches) {
    if (patch.inks.empty()) continue;
    print_mm = {std::min(print_mm.from_mm, patch.x_mm[0]), std::max(print_mm.to_mm, patch.x_mm[1])};
  }
  const geometry::ColumnRange reach = geometry::ColumnMap(layout).printed();
  const double widest_mm =
      (reach.last - reach.first + 1) * layout.px_mm() * std::abs(layout.transfer.scale_cross);
  const double width_mm = print_mm.to_mm - print_mm.from_mm;
  if (width_mm < (1 + kTagError) * widest_mm + kFoundSide_mm) return {};
  return "cannot have " + whole(used.dpi_across) + " dpi, as " +
         (used.source == "option" ? "--dpi says" : "its tags say") + ": the print would be " +
         whole(width_mm) + " mm wide, and the heads of \"" + layout.name + "\" reach " + whole(widest_mm) +
         " mm; give the resolution that the sheet was scanned at with --dpi, or the layout of the machine "
         "that "
         "printed it";
}

std::string dpi_against_tags(const PageRaster& raster, const LocateOptions& options) {
  if (!dpi_given(raster, options) || raster.tag_dpi_across <= 0) return {};
  if (!is_off(raster.tag_dpi_across, options.dpi)) return {};
  return "its tags say " + size_of(raster.tag_dpi_across, raster.tag_dpi_along, "dpi") + ", and --dpi says " +
         whole(options.dpi) +
         ", which was believed, although nothing on the print proves it: give the chart that was printed, or "
         "leave --dpi out";
}

std::string resolution_unknown(const PageRaster& raster) {
  if (!raster.tag_conflict.empty())
    return "carries no believable resolution (" + raster.tag_conflict +
           "): give --dpi, or the chart with --chart";
  return "carries no believable resolution: give --dpi, or the chart with --chart";
}

}  // namespace scrapetrace::locate_detail
