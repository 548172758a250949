#include "locate/prepare_scan.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"
#include "base/written_mm.h"
#include "geometry/frames.h"
#include "locate/coder_smear.h"
#include "locate/complete_report.h"
#include "locate/place_page.h"
#include "locate/resolution.h"
#include "locate/settle_by_jets.h"
#include "page/sway.h"
#include "quality/grain.h"
#include "quality/pixel_issues.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kSharpest_px = 0.35;  // believable range of a scan's blur
constexpr double kBluntest_px = 9.0;
// Spread of a solid's or tint's ink across the page beyond which it is a picture, not a patch. Rendered
// prints have 0.01 to 0.02; photographs' dark parts, a few strips of them, 0.025 to 0.3.
constexpr double kUneven = 0.05;
constexpr double kUnevenOfFew = 0.024;
constexpr double kFew_mm = 120;

constexpr const char* kShowsNothing =
    "shows none of the printed patches well enough: scan the whole sheet, printed side down, without "
    "enhancement";
constexpr const char* kStraightened =
    "is bent across by its scanner or lens: it was straightened by its tags";
constexpr const char* kTooUneven =
    "shows printed areas, but too uneven to be solids or tints: print the machine's solid pages, or give the "
    "chart that was printed";

std::vector<profile::MaskedColumns> masks_of(const std::vector<streak::ScannerLineFinding>& lines,
                                             double blur_px) {
  std::vector<profile::MaskedColumns> masks;
  for (const auto& line : lines) {
    const double half = 0.5 * line.width_px + 2.5 * blur_px;
    masks.push_back(
        {static_cast<int>(std::floor(line.u_px - half)), static_cast<int>(std::ceil(line.u_px + half))});
  }
  return masks;
}

WayUp way_up(const page::Placement& place, const PageRaster& raster) {
  const auto orientation = page::orientation_of(place.map, raster.transposed);
  return {orientation.turn_deg, orientation.face_mirrored, place.probability};
}

// Ways round that a prepared scan stands for; their parts of its probability sum to 1.
using Same = std::vector<WayUp>;

// Without marks along the sheet, a page and the same page turned end for end and mirrored are one and the
// same across: one of them stands for both.
std::vector<std::pair<page::Placement, Same>> distinct_across(std::vector<page::Placement> places,
                                                              const PageRaster& raster) {
  std::vector<std::pair<page::Placement, Same>> out;
  for (page::Placement& place : places) {
    const bool bare = place.datum == Datum::sheet_edges || place.datum == Datum::image_edges;
    const auto same = std::find_if(out.begin(), out.end(), [&](const auto& other) {
      return bare && (other.first.map.ux > 0) == (place.map.ux > 0);
    });
    if (same == out.end()) {
      const Same own = {way_up(place, raster)};
      out.emplace_back(std::move(place), own);
    } else {
      same->first.probability += place.probability;
      same->second.push_back(way_up(place, raster));
    }
  }
  for (auto& [place, same] : out) {
    for (WayUp& way : same) way.probability /= place.probability;
  }
  return out;
}

// Besides the sheet's, what the layout's scale is not known better: nothing under sheet x = 0.
std::vector<profile::DrumError> drum_errors(const Layout& layout, const std::vector<PlaceError>& errors) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  std::vector<profile::DrumError> out;
  for (const PlaceError& error : errors) {
    out.push_back({sheet_from_drum.drum_x(error.x_sheet_mm),
                   std::hypot(error.sigma_mm, layout.tolerance.scale * error.x_sheet_mm) /
                       std::abs(sheet_from_drum.scale)});
  }
  std::sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.x_mm < b.x_mm; });
  return out;
}

// Robust spread of the mean loss over all inked strips.
double mean_noise(const profile::PreparedScan& scan) {
  std::vector<double> mean(static_cast<std::size_t>(scan.strips.grid.size), 0.0);
  std::vector<double> count(mean.size(), 0.0);
  for (const auto& view : scan.views.inked) {
    const auto& strip = scan.strips.strips[view.strip];
    for (int i = strip.from; i < strip.to; ++i) {
      mean[static_cast<std::size_t>(i)] += static_cast<double>(view.loss[static_cast<std::size_t>(i)]);
      count[static_cast<std::size_t>(i)] += 1;
    }
  }
  std::vector<double> values;
  for (std::size_t i = 0; i < mean.size(); ++i) {
    if (count[i] > 0) values.push_back(mean[i] / count[i]);
  }
  return robust_sigma(values, median(values));
}

// What was found without a chart is as uneven as no print of patches is.
bool looks_like_a_picture(const AnalysedScan& way) {
  if (way.placement.datum != Datum::sheet_edges && way.placement.datum != Datum::image_edges) return false;
  std::vector<double> spreads;
  double length_mm = 0;
  for (const auto& view : way.prepared->views.inked) {
    const auto& strip = way.prepared->strips.strips[view.strip];
    const std::vector<double> loss(view.loss.begin() + strip.from, view.loss.begin() + strip.to);
    spreads.push_back(robust_sigma(loss, median(loss)));
    length_mm += strip.y_mm.to_mm - strip.y_mm.from_mm;
  }
  const bool few = length_mm < kFew_mm;
  return median(spreads) > (few ? kUnevenOfFew : kUneven);
}

struct LinesAndStrips {
  std::vector<streak::ScannerLineFinding> lines;
  profile::Strips strips;  // without what is masked
};

LinesAndStrips lines_and_strips(const Layout& layout, const PageRaster& raster, const page::Placement& place,
                                double blur_px, const profile::StripOptions& options) {
  LinesAndStrips out;
  streak::ScannerLineOptions lines;
  lines.threads = options.threads;
  out.lines = streak::find_scanner_lines(raster, place, lines);
  out.strips = profile::extract_strips(raster, place, layout, masks_of(out.lines, blur_px), options);
  return out;
}

// Profiles of a scan whose place is known; nothing when no patch shows well enough.
std::optional<AnalysedScan> prepare_placed(const Layout& layout, const PageRaster& raster, std::size_t index,
                                           page::Placement placement, int threads) {
  AnalysedScan out;
  out.placement = std::move(placement);
  profile::PreparedScan scan;
  scan.index = index;
  scan.blur_px = out.placement.blur_px;
  for (double blur : out.placement.patch_blur_px) {
    scan.patch_blur_px.push_back(blur > 0 ? std::clamp(blur, kSharpest_px, kBluntest_px) : scan.blur_px);
  }
  scan.x_sigma_mm = out.placement.x_sigma_mm / layout.transfer.scale_cross;
  scan.x_errors = drum_errors(layout, out.placement.errors_across);
  scan.smear_mm = coder_smear_mm(raster, out.placement);
  profile::StripOptions strips;
  strips.smear_mm = scan.smear_mm;
  strips.threads = threads;
  auto shown = lines_and_strips(layout, raster, out.placement, scan.blur_px, strips);
  out.lines = std::move(shown.lines);
  scan.strips = std::move(shown.strips);
  profile::ViewOptions views;
  views.threads = threads;
  scan.views = profile::make_ink_views(scan.strips, out.placement.chart, layout, raster.grey, views);
  if (scan.views.inked.empty()) return std::nullopt;
  out.prepared = std::move(scan);
  out.noise = mean_noise(*out.prepared);
  return out;
}

// One for each way round that shows profiles.
std::vector<AnalysedScan> prepare_each(const Layout& layout, const PageRaster& raster, std::size_t index,
                                       std::vector<page::Placement> places, const LocateOptions& options) {
  std::vector<AnalysedScan> ways;
  for (auto& [place, same] : distinct_across(std::move(places), raster)) {
    const Stage stage(options.stages, "make profiles");
    auto way = prepare_placed(layout, raster, index, std::move(place), options.threads);
    if (!way) continue;
    way->same = same;
    ways.push_back(std::move(*way));
  }
  return ways;
}

// What is said of carriages with a pass beside its place.
std::vector<std::string> passes_beside(const Layout& layout, const profile::InkViews& views) {
  std::vector<std::string> out;
  for (std::size_t c = 0; c < views.pass_beside.size(); ++c) {
    if (!views.pass_beside[c]) continue;
    out.push_back(
        "one pass of carriage \"" + layout.carriages[c].name +
        "\" lands beside its place: one column of every jet is bare and its neighbour printed twice; "
        "these lines were taken out, but check the carriage's step, and travel and shift_px in the "
        "layout");
  }
  return out;
}

// A resolution that the user gave may be what makes a pattern another machine's.
std::string or_dpi(const PageRaster& raster, const LocateOptions& options) {
  return dpi_given(raster, options) ? "; or --dpi is not what the sheet was scanned at" : "";
}

std::optional<quality::Issue> clipped_issue(const PageRaster& raster) {
  for (quality::Issue& issue : quality::pixel_issues(raster.pixels)) {
    if (issue.kind == ScanIssue::clipped) return std::move(issue);
  }
  return std::nullopt;
}

}  // namespace

std::vector<AnalysedScan> prepare_ways(const Layout& layout, const Chart* chart, const ScanInput& input,
                                       std::size_t index, const LocateOptions& options) {
  ScanReport report;
  report.file = input.file;
  const auto refuse = [&](std::string why) {
    report.verdict = QualityVerdict::rescan;
    report.reasons.push_back(std::move(why));
    AnalysedScan failed;
    failed.report = report;
    return std::vector<AnalysedScan>{failed};
  };
  if (!input.page.ok()) return refuse(input.page.problems().front().what);
  const PageRaster& as_read = *input.page;
  report.width_px = as_read.transposed ? as_read.height_px : as_read.width_px;
  report.height_px = as_read.transposed ? as_read.width_px : as_read.height_px;
  report.notes = as_read.notes;
  if (options.dpi > 0 && !dpi_given(as_read, options))
    report.notes.emplace_back("--dpi was left aside: a photo that was made flat has the scale of its chart");
  if (const auto hidden = quality::hides_streaks(as_read.pixels)) {
    report.issues = {hidden->kind};
    return refuse(hidden->sentence);
  }
  auto placed =
      timed(options.stages, "place page", [&] { return place_page(layout, chart, as_read, options); });
  const auto* places = std::get_if<std::vector<page::Placement>>(&placed);
  const auto unswayed = places != nullptr && !places->empty()
                            ? page::without_sway(as_read, layout, places->front())
                            : std::nullopt;
  if (unswayed) {
    report.notes.push_back("the sheet swayed by " + written_mm(unswayed->sway_mm, 2) +
                           " to both sides on its way through the scanner; its rows were moved back");
    placed = place_page(layout, chart, unswayed->raster, options);
  }
  const PageRaster& raster = unswayed ? unswayed->raster : as_read;
  if (const auto* why = std::get_if<std::string>(&placed)) return refuse(*why);
  auto ways =
      prepare_each(layout, raster, index, std::move(std::get<std::vector<page::Placement>>(placed)), options);
  if (ways.empty()) {
    const auto clipped = clipped_issue(raster);
    if (!clipped) return refuse(kShowsNothing);
    report.issues = {clipped->kind};
    return refuse(clipped->sentence);
  }
  if (const auto drawn =
          quality::no_grain(ways.front().prepared->strips, ways.front().prepared->views.inked)) {
    report.issues = {drawn->kind};
    return refuse(drawn->sentence);
  }
  const auto prepare = [&](page::Placement place) {
    return prepare_placed(layout, raster, index, std::move(place), options.threads);
  };
  const auto jets = timed(options.stages, "match jets",
                          [&] { return settle_by_jets(layout, raster, prepare, ways, options.threads); });
  if (jets.other_machine) {
    report.issues = {jets.issue->kind};
    return refuse(jets.issue->sentence + or_dpi(as_read, options));
  }
  if (chart == nullptr && looks_like_a_picture(ways.front())) return refuse(kTooUneven);
  // Tags of another machine's print, which rounds places otherwise, look bent, too.
  if (!raster.bend_sigma_mm.empty() && !jets.issue) report.notes.emplace_back(kStraightened);
  for (std::string& note : passes_beside(layout, ways.front().prepared->views))
    report.notes.push_back(std::move(note));
  if (jets.issue) ways.front().issues.push_back(*jets.issue);
  if (!jets.recognised && chart == nullptr) {
    if (auto doubt = dpi_against_tags(as_read, options); !doubt.empty())
      ways.front().placement.remarks.push_back(std::move(doubt));
  }
  const Stage stage(options.stages, "judge quality");
  complete_report(raster, layout, std::move(report), ways, options.threads);
  return ways;
}

AnalysedScan prepare_scan(const Layout& layout, const Chart* chart, const ScanInput& input, std::size_t index,
                          const LocateOptions& options) {
  return std::move(prepare_ways(layout, chart, input, index, options).front());
}

}  // namespace scrapetrace::locate_detail
