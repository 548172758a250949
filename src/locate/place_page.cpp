#include "locate/place_page.h"

#include <algorithm>
#include <cmath>

#include "page/coarse_map.h"
#include "page/find_patches.h"
#include "page/place_on_chart.h"
#include "page/refine_placement.h"
#include "page/skew.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kCoarseCell_mm = 0.7;
constexpr double kLeastAgreement = 0.6;  // correlation with the chart below which the page is another one
constexpr int kFewestMarks = 40;
constexpr double kSheetEdge_mm = 1.5;  // how well a sheet's edge stands for the print: cut and feed play

struct Resolution {
  double dpi = 0;
  std::string source;
  bool exact = true;  // false: a guess, to be searched around
};

Resolution resolution_of(const PageRaster& raster, const Chart* chart, const LocateOptions& options) {
  if (options.dpi > 0) return {options.dpi, "option", true};
  if (raster.tag_dpi_across > 0 && raster.tag_dpi_along > 0) return {raster.tag_dpi_across, "tag", true};
  if (chart != nullptr) return {25.4 * raster.width_px / chart->sheet_mm[0], "chart", false};
  return {};
}

page::PlaceOptions place_options(const PageRaster& raster, const Resolution& resolution, double angle_deg) {
  page::PlaceOptions place;
  place.angle_deg = angle_deg;
  place.px_per_mm_x = resolution.dpi / 25.4;
  const bool tagged = resolution.source == "tag";
  place.px_per_mm_y = (tagged ? raster.tag_dpi_along : resolution.dpi) / 25.4;
  place.scale_known = resolution.exact;
  place.mirrored_parity = raster.transposed;
  return place;
}

std::variant<page::Placement, std::string> place_on_given_chart(const Layout& layout, const Chart& chart,
                                                                const PageRaster& raster,
                                                                Resolution resolution, double angle_deg,
                                                                const page::CoarseMap& coarse) {
  auto found =
      page::place_on_chart(coarse, layout, chart, raster.grey, place_options(raster, resolution, angle_deg));
  if ((!found || found->agreement < kLeastAgreement) && resolution.source == "tag") {
    // The tag may lie: look again at the scale that the sheet's size suggests.
    const Resolution guess{25.4 * raster.width_px / chart.sheet_mm[0], "chart", false};
    auto again =
        page::place_on_chart(coarse, layout, chart, raster.grey, place_options(raster, guess, angle_deg));
    if (again && again->agreement >= kLeastAgreement) found = again, resolution = guess;
  }
  if (!found || found->agreement < kLeastAgreement) {
    return "does not look like the chart \"" + chart.name + "\" (agreement " +
           std::to_string(found ? std::lround(100 * std::max(0.0, found->agreement)) : 0) +
           " of 100, at least 60 needed): give the chart that was printed, or scan the right sheet";
  }
  page::Placement place;
  const auto refined = page::refine_placement(raster, layout, chart, found->map);
  place.map = page::raster_from_sheet(refined.sheet_from_raster);
  place.chart = chart;
  place.agreement = found->agreement;
  place.dpi = resolution.exact ? resolution.dpi : 25.4 * std::hypot(place.map.ux, place.map.vx);
  place.dpi_source = resolution.source;
  place.marks = refined.marks;
  place.residual_mm = refined.residual_mm;
  if (refined.blur_px > 0) place.blur_px = std::clamp(refined.blur_px, 0.35, 4.0);
  place.patch_blur_px = refined.patch_blur_px;
  if (refined.marks >= kFewestMarks) {
    place.datum = Datum::patch_edges;
    place.x_sigma_mm = refined.x_sigma_mm;
  } else {
    place.datum = Datum::image_edges;
    place.x_sigma_mm = kSheetEdge_mm;
    place.remarks.push_back(
        "too few patch edges were found to register to the print; positions are good to about 1.5 mm only");
  }
  if (resolution.source == "chart") {
    place.remarks.push_back(
        "the file carries no believable resolution; it was taken from the chart's sheet size");
  }
  if (found->agreement - found->runner_up < 0.0005) {
    place.remarks.push_back(
        "the chart looks the same another way round: the orientation may be wrong; print a chart "
        "with a mark in one corner, or scan with the lead edge up");
  }
  return place;
}

}  // namespace

std::variant<page::Placement, std::string> place_page(const Layout& layout, const Chart* chart,
                                                      const PageRaster& raster,
                                                      const LocateOptions& options) {
  const Resolution resolution = resolution_of(raster, chart, options);
  if (resolution.dpi <= 0) {
    return std::string("carries no believable resolution: give --dpi, or the chart with --chart");
  }
  if (raster.width_px < 200 || raster.height_px < 200) {
    return "is only " + std::to_string(raster.width_px) + " x " + std::to_string(raster.height_px) +
           " px: scan the whole sheet at 300 dpi or more";
  }
  const auto coarse = page::make_coarse_map(raster, kCoarseCell_mm * resolution.dpi / 25.4);
  const auto skew = page::estimate_skew(coarse, {});
  if (!skew) return std::string("shows no print: it is blank, or far too pale; scan the printed side");
  if (chart != nullptr)
    return place_on_given_chart(layout, *chart, raster, resolution, skew->angle_deg, coarse);
  return page::place_without_chart(raster, layout, coarse, resolution.dpi, resolution.source,
                                   skew->angle_deg);
}

}  // namespace scrapetrace::locate_detail
