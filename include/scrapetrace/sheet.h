#pragma once
// A sheet, scanned or photographed, as a page to analyse: a photo is made flat, a bent page straightened.
// What photo.h and read_page.h offer step by step, in order.

#include <optional>
#include <string>

#include "scrapetrace/chart.h"
#include "scrapetrace/flatten_page.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/page.h"
#include "scrapetrace/photo.h"
#include "scrapetrace/pixels.h"
#include "scrapetrace/read_page.h"
#include "scrapetrace/result.h"

namespace scrapetrace {

struct SheetOptions {
  double dpi = 0;                       // overrides what the picture says; 0: does not
  std::optional<ImageSide> lead_edge;   // where the sheet's lead edge lies in the picture, when known
  std::optional<PhotoCorners> corners;  // of the sheet in a photo without tags, when known
  int threads = 0;                      // that decode; 0: as many as the processor runs at once
  scan::ReadLimits limits;              // of a file
};

// With a chart that has tags, a photo is made flat by them, and a page that is bent across straightened. A
// photo without tags (four of them) and without a stated resolution is made flat by the edges of its patches,
// found from the sheet's or the print's outline, or from `corners`. All else is read as it is. `chart` may be
// null: then nothing is taken for a photo. The page's notes say what was done.
// Problems: those of read_page() and flatten_page(), and photos without tags that show too little of the
// printed edges.
Result<PageRaster> read_sheet(const std::string& name, const Layout& layout, const Chart* chart,
                              const SheetOptions& options = {});

// The same of a picture in memory. Problems: as raster_from_pixels().
Result<PageRaster> sheet_from_pixels(const scan::PixelView& view, const Layout& layout, const Chart* chart,
                                     const SheetOptions& options = {});

// Where else pages may come from, for who has them read elsewhere: in another process, say.
class PageSource {
 public:
  PageSource() = default;
  PageSource(const PageSource&) = delete;
  PageSource& operator=(const PageSource&) = delete;
  virtual ~PageSource() = default;
  // As read_page() and flatten_page(), of always the same picture.
  [[nodiscard]] virtual Result<PageRaster> read(const scan::ReadOptions& options) const = 0;
  [[nodiscard]] virtual Result<PageRaster> flatten(const PhotoMap& map,
                                                   const scan::FlattenOptions& options) const = 0;
};

// `name` is for problems.
Result<PageRaster> sheet_from(const PageSource& source, const std::string& name, const Layout& layout,
                              const Chart* chart, const SheetOptions& options = {});

}  // namespace scrapetrace
