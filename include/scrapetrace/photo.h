#pragma once
// A sheet seen by a camera instead of a scanner: where its places lie in the picture.

#include <array>
#include <optional>

#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"

namespace scrapetrace {

// A plane under a pinhole camera is a homography (Hartley and Zisserman, Multiple View Geometry, 2004, ch.
// 2); the lens then moves a place at distance r from the picture's middle to r (1 + k1 r^2 + k2 r^4), in
// units of half the picture's diagonal (Brown 1971, radial terms). Pixels of the image as stored; the centre
// of the first is (0.5, 0.5).
struct PhotoMap {
  std::array<double, 9> ideal_from_sheet{};  // row by row, from sheet mm to pixels of a lens without faults
  std::array<double, 2> middle_px{};
  double radius_px = 1;
  double k1 = 0;
  double k2 = 0;
  double sigma_mm = 0;  // standard deviation of a place on the sheet, at its worst inside the outermost tags
  int tags = 0;         // that it was fitted to
  int edges = 0;        // points of printed edges that it was fitted to
  [[nodiscard]] std::array<double, 2> photo_px(double x_mm, double y_mm) const;
};

// The map of a page that a scanner cannot have made: the chart's tags, at least four, stand in perspective or
// are bent by a lens. Nothing for scans, and for pages whose tags are too few. The page needs its overview.
std::optional<PhotoMap> photo_map(const Layout& layout, const Chart& chart, const PageRaster& page);

// The sheet's corners in a picture, pixels of the image as stored: the printed side's lead edge left and
// right, then the trail edge right and left.
using PhotoCorners = std::array<std::array<double, 2>, 4>;

// The map of a picture without tags, to a few millimetres: by the corners that are given, else by the sheet's
// or the print's outline, whichever way round agrees best with the chart. Its sigma_mm is that of corners
// found by eye or outline. Nothing where neither shows.
std::optional<PhotoMap> photo_map_by_outline(const Layout& layout, const Chart& chart, const PageRaster& page,
                                             const std::optional<PhotoCorners>& corners = {});

// A better map from the edges of the chart's patches, as they show on the page that was made flat by `map`;
// the lens comes in here. Nothing where too few edges show, or
// the flat page lacks a part of the sheet or of the `border_mm` around it. `picture` is the page before it
// was made flat.
std::optional<PhotoMap> photo_map_by_edges(const Layout& layout, const Chart& chart,
                                           const PageRaster& picture, const PhotoMap& map,
                                           const PageRaster& flat, double border_mm);

// Whether no scanner can have made what the map describes: perspective or a lens bend it by more than 0.3 mm.
bool is_photo(const PhotoMap& map, const Chart& chart);

// The page with its rows stretched back to where the chart's tags say that they belong, when these (at least
// six) show that a scanner or a lens bent it across; nothing when they do not. Places without a tag near them
// stay as they are, and PageRaster::bend_sigma_mm says how well each is known. The overview stays as it was.
std::optional<PageRaster> straighten_page(const Layout& layout, const Chart& chart, const PageRaster& page);

}  // namespace scrapetrace
