#include "locate/place_page.h"

#include <algorithm>
#include <cmath>

#include "locate/place_errors.h"
#include "locate/resolution.h"
#include "locate/tag_way.h"
#include "page/as_printed.h"
#include "page/coarse_map.h"
#include "page/find_patches.h"
#include "page/place_on_chart.h"
#include "page/refine_placement.h"
#include "page/skew.h"

namespace scrapetrace::locate_detail {

namespace {

using Places = std::variant<std::vector<page::Placement>, std::string>;

constexpr const char* kNoPrint = "shows no print: it is blank, or far too pale; scan the printed side";

constexpr double kCoarseCell_mm = 0.7;
constexpr double kLeastAgreement = 0.6;  // correlation with the chart below which the page is another one
constexpr double kGoodAgreement = 0.9;   // above: no reason to doubt the resolution
constexpr double kBetter = 0.02;         // of agreement, for another resolution to be believed instead
constexpr double kMuchBetter = 0.1;      // the same, to contradict a user's word
constexpr double kLeastBare_dpi = 100;   // below, edges of pictures pass for patches
constexpr int kFewestMarks = 40;
constexpr double kSheetEdge_mm = 1.5;  // how well a sheet's edge stands for the print: cut and feed play

// A raster read at a resolution: its small picture and the angle of the print in it.
struct Overview {
  Resolution resolution;
  page::CoarseMap coarse;
  double angle_deg = 0;
};

std::optional<Overview> overview_of(const PageRaster& raster, const Resolution& resolution, int threads) {
  const double cell_px = kCoarseCell_mm * resolution.dpi_across / 25.4;
  Overview out{resolution, page::make_coarse_map(raster, cell_px, threads), 0};
  page::SkewOptions skew_options;
  skew_options.threads = threads;
  const auto skew = page::estimate_skew(out.coarse, skew_options);
  if (!skew) return std::nullopt;
  out.angle_deg = skew->angle_deg;
  return out;
}

struct OnChart {
  Resolution resolution;
  std::vector<page::CoarsePlacement> ways;
  [[nodiscard]] double agreement() const { return ways.empty() ? 0 : ways.front().agreement; }
};

OnChart find_on_chart(const Layout& layout, const Chart& chart, const PageRaster& raster,
                      const Overview& overview, const Resolution& resolution,
                      const LocateOptions& locate_options) {
  page::PlaceOptions options;
  options.angle_deg = overview.angle_deg;
  options.px_per_mm_x = resolution.dpi_across / 25.4;
  options.px_per_mm_y = resolution.dpi_along / 25.4;
  options.scale_known = resolution.exact;
  options.ways =
      page::sheet_orientations(raster.transposed, {locate_options.lead_edge, locate_options.mirrored});
  options.threads = locate_options.threads;
  return {resolution, page::place_on_chart(overview.coarse, layout, chart, raster.grey, options)};
}

// What the resolution may be where the stated one does not do.
std::vector<Resolution> guesses_of(const PageRaster& raster, const Chart& chart,
                                   const LocateOptions& options) {
  std::vector<Resolution> out;
  if (dpi_given(raster, options)) out = tagged_resolutions(raster);
  for (Resolution& guess : resolutions_by_sheet(raster, chart)) out.push_back(std::move(guess));
  return out;
}

// At the stated resolution when the print agrees with it, else at the one the print agrees with best.
// `first` was made at the first resolution that comes into question.
OnChart search_on_chart(const Layout& layout, const Chart& chart, const PageRaster& raster,
                        const Overview& first, const LocateOptions& options) {
  const auto find = [&](const Resolution& resolution) {
    if (resolution.dpi_across == first.resolution.dpi_across)
      return find_on_chart(layout, chart, raster, first, resolution, options);
    const auto overview = overview_of(raster, resolution, options.threads);
    return overview ? find_on_chart(layout, chart, raster, *overview, resolution, options)
                    : OnChart{resolution, {}};
  };
  OnChart best;
  for (const Resolution& stated : stated_resolutions(raster, options)) {
    OnChart found = find(stated);
    if (found.agreement() >= best.agreement()) best = std::move(found);
  }
  const bool given = dpi_given(raster, options);
  const bool doubtful = (!given && !raster.tag_conflict.empty()) || best.agreement() < kGoodAgreement;
  if (!doubtful) return best;
  for (const Resolution& guess : guesses_of(raster, chart, options)) {
    OnChart found = find(guess);
    const double lead = best.ways.empty() ? 0 : given ? kMuchBetter : kBetter;
    if (found.agreement() > best.agreement() + lead) best = std::move(found);
  }
  return best;
}

// What the chart says against the resolution that the user gave; empty: nothing.
std::string chart_against_dpi(const Chart& chart, const PageRaster& raster, const page::RasterFromSheet& map,
                              const LocateOptions& options) {
  if (!dpi_given(raster, options)) return {};
  const double across = 25.4 * std::hypot(map.ux, map.vx);
  const double along = 25.4 * std::hypot(map.uy, map.vy);
  if (!is_off(across, options.dpi) && !is_off(along, options.dpi)) return {};
  return dpi_contradicted(options, raster, across, along, "the print of the chart \"" + chart.name + "\"");
}

std::string other_page(const Chart& chart, double agreement) {
  return "does not look like the chart \"" + chart.name + "\" (agreement " +
         std::to_string(std::lround(100 * std::max(0.0, agreement))) +
         " of 100, at least 60 needed): give the chart that was printed, or scan the right sheet";
}

std::string rounded(double dpi) {
  return std::to_string(std::lround(dpi));
}

// What the print on the page makes of the file's tags.
void judge_tags(const PageRaster& raster, const Resolution& used, page::Placement& place) {
  const double across = 25.4 * std::hypot(place.map.ux, place.map.vx);
  const double along = 25.4 * std::hypot(place.map.uy, place.map.vy);
  const bool tagged = raster.tag_dpi_across > 0 && used.source != "option";
  if (tagged && (is_off(across, raster.tag_dpi_across) || is_off(along, raster.tag_dpi_along))) {
    place.remarks.push_back("its tags say " + rounded(raster.tag_dpi_across) + " x " +
                            rounded(raster.tag_dpi_along) + " dpi, but the print measures " +
                            rounded(across) + " x " + rounded(along) +
                            " dpi: the tags were not believed; scan without scaling to a page size");
    place.dpi_source = "chart";
    place.dpi = across;
  } else if (!raster.tag_conflict.empty() && used.source != "option") {
    place.remarks.push_back(raster.tag_conflict +
                            (used.source == "tag" ? ": the print agrees, so they were believed"
                                                  : ": neither was believed, the chart's size was taken") +
                            "; give --dpi to be sure");
  } else if (used.source == "chart") {
    place.remarks.emplace_back(
        "the file carries no believable resolution; it was taken from the chart's sheet size");
  }
}

page::Placement place_as(const Layout& layout, const Chart& chart, const PageRaster& raster,
                         const Resolution& resolution, const page::CoarsePlacement& found,
                         const std::optional<page::TagPlacement>& tags, const page::RefinedMap& refined) {
  page::Placement place;
  place.map = page::raster_from_sheet(refined.sheet_from_raster);
  place.chart = chart;
  place.agreement = found.agreement;
  place.probability = found.probability;
  place.dpi =
      resolution.source == "chart" ? 25.4 * std::hypot(place.map.ux, place.map.vx) : resolution.dpi_across;
  place.dpi_source = resolution.source;
  place.marks = refined.marks;
  place.residual_mm = refined.residual_mm;
  place.side_touched = refined.side_touched && !tags;
  place.touched_sides = refined.touched_sides;
  if (refined.blur_px > 0) place.blur_px = std::clamp(refined.blur_px, 0.35, 9.0);
  place.patch_blur_px = refined.patch_blur_px;
  if (refined.marks >= kFewestMarks) {
    place.datum = Datum::patch_edges;
    place.x_sigma_mm = refined.x_sigma_mm;
  } else if (!tags) {
    place.datum = Datum::image_edges;
    place.x_sigma_mm = kSheetEdge_mm;
    place.remarks.emplace_back(
        "too few patch edges were found to register to the print, so that positions are good to about 1.5 mm "
        "only: scan the whole sheet");
  }
  if (tags) rest_on_tags(raster, *tags, refined.marks >= kFewestMarks, place);
  if (place.datum != Datum::image_edges) {
    const bool by_edges = refined.marks >= kFewestMarks;
    place.errors_across =
        place_errors(raster, layout, chart, by_edges ? refined.sheet_from_raster : tags->sheet_from_raster);
    if (tags) place.x_sigma_mm = worst_error_mm(place.errors_across, chart);
  }
  judge_tags(raster, resolution, place);
  return place;
}

// Tags are printed the right way round: they know better than the user.
void judge_mirroring(const PageRaster& raster, const LocateOptions& options, page::Placement& place) {
  const bool mirrored = page::orientation_of(place.map, raster.transposed).face_mirrored;
  if (!options.mirrored || mirrored == *options.mirrored) return;
  place.remarks.push_back(std::string("its page's tags show that it is ") + (mirrored ? "" : "not ") +
                          "a mirror image of the sheet, so --mirrored " + (mirrored ? "no" : "yes") +
                          " was not believed");
}

// One placement; two alike where a side of the print is missing and nothing shows which.
std::vector<page::Placement> refine(const Layout& layout, const Chart& chart, const PageRaster& raster,
                                    const Resolution& resolution, const page::CoarsePlacement& found,
                                    const std::optional<page::TagPlacement>& tags, int threads) {
  const auto refined = page::refine_placement(raster, layout, chart, found.map, {std::nullopt, threads});
  if (!refined.narrow || tags || !resolution.exact)
    return {place_as(layout, chart, raster, resolution, found, tags, refined)};
  std::vector<page::Placement> out;
  for (const std::size_t side : {0U, 1U}) {
    const auto one_sided = page::refine_placement(raster, layout, chart, found.map, {side, threads});
    out.push_back(place_as(layout, chart, raster, resolution, found, tags, one_sided));
    out.back().probability *= 0.5;
  }
  return out;
}

Places place_on_given_chart(const Layout& layout, const Chart& chart, const PageRaster& raster,
                            const TagWay& tagged, const Overview& first, const LocateOptions& options) {
  const OnChart found = tagged.tags ? OnChart{tagged.resolution, {tagged.way}}
                                    : search_on_chart(layout, chart, raster, first, options);
  if (found.agreement() < kLeastAgreement) {
    auto why = dpi_against_size(layout, &chart, raster, options);
    return why.empty() ? other_page(chart, found.agreement()) : why;
  }
  if (auto why = chart_against_dpi(chart, raster, found.ways.front().map, options); !why.empty()) return why;
  std::vector<page::Placement> places;
  for (const auto& way : found.ways) {
    for (auto& place : refine(layout, chart, raster, found.resolution, way, tagged.tags, options.threads)) {
      if (tagged.tags) judge_mirroring(raster, options, place);
      places.push_back(std::move(place));
    }
  }
  // A few per cent agree nearly as well; the print's sides measure them.
  const page::Placement& first_place = places.front();
  if (first_place.datum == Datum::patch_edges && !first_place.side_touched) {
    if (auto why = chart_against_dpi(chart, raster, first_place.map, options); !why.empty()) return why;
  }
  return places;
}

Places place_bare_page(const Layout& layout, const PageRaster& raster, const LocateOptions& options) {
  const auto stated = stated_resolutions(raster, options);
  if (stated.empty() || (options.dpi <= 0 && !raster.tag_conflict.empty())) return resolution_unknown(raster);
  if (stated.front().dpi_across < kLeastBare_dpi) {
    return "has only " + rounded(stated.front().dpi_across) +
           " dpi, too coarse to find patches on: scan at 300 dpi or more";
  }
  if (auto why = dpi_against_size(layout, nullptr, raster, options); !why.empty()) return why;
  const auto overview = overview_of(raster, stated.front(), options.threads);
  if (!overview) return std::string(kNoPrint);
  page::BarePageOptions bare;
  bare.dpi = overview->resolution.dpi_across;
  bare.dpi_source = overview->resolution.source;
  bare.angle_deg = overview->angle_deg;
  bare.ways = page::sheet_orientations(raster.transposed, {options.lead_edge, options.mirrored});
  auto places = page::place_without_chart(raster, layout, overview->coarse, bare);
  if (const auto* found = std::get_if<std::vector<page::Placement>>(&places)) {
    if (auto why = dpi_against_heads(layout, found->front().chart, overview->resolution); !why.empty())
      return why;
  }
  return places;
}

Places place_on_given_chart(const Layout& layout, const Chart& given, const PageRaster& raster,
                            const LocateOptions& options) {
  const Chart chart = page::as_printed(layout, given);
  const TagWay tagged = way_by_tags(layout, chart, raster, options);
  if (!tagged.refusal.empty()) return tagged.refusal;
  auto candidates = stated_resolutions(raster, options);
  if (candidates.empty() || dpi_given(raster, options)) {
    for (Resolution& guess : guesses_of(raster, chart, options)) candidates.push_back(std::move(guess));
  }
  std::optional<Overview> first;  // one that shows print
  for (const Resolution& resolution : candidates) {
    first = overview_of(raster, resolution, options.threads);
    if (first || !dpi_given(raster, options)) break;
  }
  if (!first) return std::string(kNoPrint);
  return place_on_given_chart(layout, chart, raster, tagged, *first, options);
}

}  // namespace

Places place_page(const Layout& layout, const Chart* chart, const PageRaster& raster,
                  const LocateOptions& options) {
  if (raster.width_px < 200 || raster.height_px < 200) {
    return "is only " + std::to_string(raster.width_px) + " x " + std::to_string(raster.height_px) +
           " px: scan the whole sheet at 300 dpi or more";
  }
  if (chart != nullptr) return place_on_given_chart(layout, *chart, raster, options);
  return place_bare_page(layout, raster, options);
}

}  // namespace scrapetrace::locate_detail
