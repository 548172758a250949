#include "page/find_patches.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "page/edge_spread.h"
#include "page/find_other_print.h"
#include "page/find_rectangles.h"
#include "page/find_sheet.h"
#include "page/match_ink.h"
#include "page/rectangle_sides.h"

namespace scrapetrace::page {

namespace {

// Standard deviation of the print's position against the sheet's edge: sheets are cut to +-2 mm (ISO
// 216:2007, sides up to 600 mm, as quoted by its readers) and fed with play (common practice, no source).
constexpr double kSheetEdge_mm = 1.5;
// The same against the image's edge, which depends on cropping alone: twice as loose (common practice, no
// source).
constexpr double kImageEdge_mm = 3.0;
constexpr double kSlack_mm = 0.3;         // finds a blurred patch of just the least size
constexpr double kLeastSharp = 0.5;       // share of an x side's lines; haze has no sharp side
constexpr double kNotableBlank_mm = 1.5;  // a bare gap worth reporting
constexpr double kTurnLimit = 0.01;       // rad; largest error of the coarse skew

RasterFromSheet upright_frame(const PageRaster& raster, double px_per_mm_x, double px_per_mm_y,
                              double angle_rad) {
  return make_raster_from_sheet(px_per_mm_x, px_per_mm_y, false, false, angle_rad,
                                {0.5 * raster.width_px, 0.5 * raster.height_px}, {0, 0});
}

double angle_of(const RasterFromSheet& frame, double px_per_mm_x, double px_per_mm_y) {
  return std::atan2(frame.vx / px_per_mm_y, frame.ux / px_per_mm_x);
}

// Rectangles with measured sides, without those too small or without a sharp side.
std::vector<FoundRectangle> confirmed(std::vector<FoundRectangle> rectangles, const std::vector<Side>& sides,
                                      const RectangleOptions& options) {
  std::vector<bool> sharp(rectangles.size(), false);
  for (const Side& side : sides) {
    FoundRectangle& r = rectangles[side.rectangle];
    (side.axis == 0 ? r.x_mm : r.y_mm)[side.end] = side.at_mm;
    const bool found = static_cast<double>(side.points.size()) >= kLeastSharp * std::max(1.0, side.lines);
    if (side.axis == 0 && found) sharp[side.rectangle] = true;
  }
  std::vector<FoundRectangle> out;
  for (std::size_t k = 0; k < rectangles.size(); ++k) {
    const FoundRectangle& r = rectangles[k];
    if (r.x_mm[1] - r.x_mm[0] < options.least_width_mm - kSlack_mm) continue;
    if (r.y_mm[1] - r.y_mm[0] < options.least_height_mm - kSlack_mm) continue;
    if (sharp[k]) out.push_back(r);
  }
  return out;
}

// Upright frame to sheet frame, whose axes may be reversed.
class SheetFrame {
 public:
  SheetFrame(const FoundSheet& sheet, const SheetOrientation& way) : sheet_(sheet), way_(way) {}
  [[nodiscard]] double x(double upright_x) const {
    return way_.flip_u ? sheet_.x_mm[1] - upright_x : upright_x - sheet_.x_mm[0];
  }
  [[nodiscard]] std::array<double, 2> x(const std::array<double, 2>& range) const {
    return way_.flip_u ? std::array{x(range[1]), x(range[0])} : std::array{x(range[0]), x(range[1])};
  }
  [[nodiscard]] std::array<double, 2> y(const std::array<double, 2>& range) const {
    if (way_.flip_v) return {sheet_.y_mm[1] - range[1], sheet_.y_mm[1] - range[0]};
    return {range[0] - sheet_.y_mm[0], range[1] - sheet_.y_mm[0]};
  }
  [[nodiscard]] bool left_seen() const { return sheet_.x_seen[way_.flip_u ? 1 : 0]; }
  [[nodiscard]] std::array<double, 2> size_mm() const {
    return {sheet_.x_mm[1] - sheet_.x_mm[0], sheet_.y_mm[1] - sheet_.y_mm[0]};
  }
  [[nodiscard]] RasterFromSheet raster_from_sheet(const RasterFromSheet& frame, double px_x,
                                                  double px_y) const {
    const double x0 = sheet_.x_mm[way_.flip_u ? 1 : 0];
    const double y0 = sheet_.y_mm[way_.flip_v ? 1 : 0];
    return make_raster_from_sheet(px_x, px_y, way_.flip_u, way_.flip_v, angle_of(frame, px_x, px_y),
                                  {frame.u(x0, y0), frame.v(x0, y0)}, {0, 0});
  }

 private:
  FoundSheet sheet_;
  SheetOrientation way_;
};

std::string joined(const std::vector<std::string>& inks) {
  std::string out;
  for (const auto& ink : inks) out += (out.empty() ? "" : " + ") + ink;
  return out;
}

std::string rounded(double mm) {
  return std::to_string(std::lround(mm));
}

struct Matched {
  std::vector<Patch> patches;
  std::vector<FoundRectangle> rectangles;  // of the patches
  std::vector<std::string> remarks;
};

Matched match_patches(const Layout& layout, const SheetFrame& frame, bool grey,
                      const std::vector<FoundRectangle>& rectangles) {
  std::vector<Rgb> areas;
  for (const FoundRectangle& r : rectangles) areas.push_back(r.over_paper);
  const double overall = overall_strength(layout, areas, grey);
  Matched out;
  for (const FoundRectangle& r : rectangles) {
    const auto match = match_ink(layout, r.over_paper, grey, overall);
    if (!match) continue;
    out.patches.push_back({match->inks, frame.x(r.x_mm), frame.y(r.y_mm), match->coverage});
    out.rectangles.push_back(r);
    if (!match->doubtful || grey) continue;
    const auto& y = out.patches.back().y_mm;
    out.remarks.push_back("the patch " + rounded(y[0]) + " to " + rounded(y[1]) +
                          " mm down the sheet was taken for " + joined(match->inks) + " but might be " +
                          joined(match->other_inks));
  }
  if (const auto left_out = rectangles.size() - out.patches.size(); left_out > 0) {
    out.remarks.push_back(std::to_string(left_out) +
                          " of the printed areas match no ink of the layout and were left out");
  }
  return out;
}

void add_gaps(const std::vector<FoundRectangle>& rectangles, std::vector<std::string>& remarks) {
  double widest_mm = 0;
  for (const FoundRectangle& r : rectangles) widest_mm = std::max(widest_mm, r.blank_mm);
  if (widest_mm < kNotableBlank_mm) return;
  remarks.push_back("bare gaps across the patches, up to " + rounded(widest_mm) +
                    " mm wide, were taken for faults; if they are meant to be there, give the chart");
}

void add_assumptions(Datum datum, const PageRaster& raster, std::vector<std::string>& remarks) {
  remarks.push_back(bare_page_remark(datum));
  if (raster.grey) remarks.push_back("the scan is grey: inks were told apart by depth alone; scan in colour");
}

// Points of x sides as edges in the final placement.
std::vector<EdgePoint> x_edges(const std::vector<Side>& sides, const SheetFrame& frame) {
  std::vector<EdgePoint> out;
  for (const Side& side : sides) {
    if (side.axis != 0) continue;
    for (const SidePoint& p : side.points) out.push_back({frame.x(side.at_mm), p.u, p.v});
  }
  return out;
}

std::string nothing_found(const RectangleOptions& options) {
  return "shows no even printed area of at least " + rounded(options.least_width_mm) + " mm x " +
         rounded(options.least_height_mm) +
         " mm: print the machine's solid pages, or give the chart that was printed";
}

// What the print itself shows: its rotation, paper and rectangles.
struct Turned {
  RasterFromSheet frame;  // raster from upright
  FoundSheet sheet;
  Rgb paper{};
  std::vector<FoundRectangle> rectangles;
  std::vector<Side> sides;
  SideFit fit;
};

std::variant<Turned, std::string> find_and_turn(const PageRaster& raster, const CoarseMap& coarse,
                                                double px_x, double px_y, double angle_rad,
                                                const RectangleOptions& options) {
  Turned out;
  const auto frame = upright_frame(raster, px_x, px_y, angle_rad);
  const FoundSheet sheet = find_sheet(coarse, frame);
  const UprightMap map = make_upright_map(coarse, frame);
  const auto paper = paper_colour(map, sheet);
  if (!paper) {
    return std::string(
        "shows no bare paper beside the print: scan the whole sheet, or give the chart that was printed");
  }
  out.paper = *paper;
  out.rectangles = find_rectangles(map, sheet, *paper, options);
  out.sides = measure_sides(raster, map, out.rectangles);
  out.fit = fit_sides(out.sides, 1 / px_x);
  if (std::abs(out.fit.turn_rad) > kTurnLimit) return nothing_found(options);
  out.rectangles = confirmed(std::move(out.rectangles), out.sides, options);
  out.frame = upright_frame(raster, px_x, px_y, angle_rad + out.fit.turn_rad);
  out.sheet = find_sheet(coarse, out.frame);
  return out;
}

// Chart, datum and remarks; the position in the raster is set later.
Placement placed_by(const PageRaster& raster, const CoarseMap& coarse, const Turned& found,
                    const SheetFrame& frame, const Matched& matched) {
  Placement place;
  place.chart = {"found on the scan", frame.size_mm(), matched.patches, {}};
  const UprightMap upright = make_upright_map(coarse, found.frame);
  for (const OtherPrint& other : find_other_print(upright, found.sheet, found.paper, matched.rectangles)) {
    place.chart.patches.push_back({{}, frame.x(other.x_mm), frame.y(other.y_mm), 1});
  }
  place.datum = frame.left_seen() ? Datum::sheet_edges : Datum::image_edges;
  place.x_sigma_mm = frame.left_seen() ? kSheetEdge_mm : kImageEdge_mm;
  place.residual_mm = found.fit.residual_mm;
  place.marks = found.fit.points;
  add_assumptions(place.datum, raster, place.remarks);
  place.remarks.insert(place.remarks.end(), matched.remarks.begin(), matched.remarks.end());
  add_gaps(matched.rectangles, place.remarks);
  return place;
}

}  // namespace

std::string bare_page_remark(Datum datum) {
  if (datum == Datum::sheet_edges) {
    return "no chart given: patches were found on the scan; positions across are tied to the sheet's edge "
           "and "
           "good to about 1.5 mm; give the chart that was printed for better";
  }
  return "no chart given: patches were found on the scan, and the sheet's left edge was not seen; positions "
         "across are tied to the image's edge and good to about 3 mm; give the chart that was printed, or "
         "scan "
         "with some of the scanner's bed around the sheet";
}

std::variant<std::vector<Placement>, std::string> place_without_chart(const PageRaster& raster,
                                                                      const Layout& layout,
                                                                      const CoarseMap& coarse,
                                                                      const BarePageOptions& options) {
  const double px_x = options.dpi / 25.4;
  const bool tagged = options.dpi_source == "tag" && raster.tag_dpi_along > 0;
  const double px_y = (tagged ? raster.tag_dpi_along : options.dpi) / 25.4;
  const RectangleOptions sizes;
  const auto result =
      find_and_turn(raster, coarse, px_x, px_y, options.angle_deg * std::numbers::pi / 180, sizes);
  if (const auto* why = std::get_if<std::string>(&result)) return *why;
  const Turned& found = std::get<Turned>(result);
  std::vector<Placement> places;
  for (const SheetOrientation& way : options.ways) {
    const SheetFrame frame(found.sheet, way);
    Matched matched = match_patches(layout, frame, raster.grey, found.rectangles);
    if (matched.patches.empty()) return nothing_found(sizes);
    Placement place = placed_by(raster, coarse, found, frame, matched);
    place.map = frame.raster_from_sheet(found.frame, px_x, px_y);
    place.dpi = options.dpi;
    place.dpi_source = options.dpi_source;
    place.probability = way.prior;
    const double blur_px = measure_blur_px(raster, place.map, x_edges(found.sides, frame));
    if (blur_px > 0) place.blur_px = std::clamp(blur_px, 0.35, 4.0);
    places.push_back(std::move(place));
  }
  return places;
}

}  // namespace scrapetrace::page
