#pragma once
// Everything that is accumulated while a page's rows pass by.

#include <memory>
#include <optional>

#include "scan/block_sums.h"
#include "scan/colour_counter.h"
#include "scan/luma_filter.h"
#include "scan/overview_rows.h"
#include "scan/pixel_statistics.h"
#include "scan/rows.h"
#include "scrapetrace/page.h"

namespace scrapetrace::scan {

// An image as stored.
struct StoredSize {
  int width_px = 0;
  int height_px = 0;
  int bands = 3;  // 1 or 3
  int bytes = 1;  // of a sample: 1 or 2
  bool operator==(const StoredSize&) const = default;
};

struct SumsOptions {
  ReadingOrder order;
  bool overview = false;
  std::optional<LumaFilter::Axis> luma_axis;  // for 8-bit RGB
};

class PageSums {
 public:
  // `page` has its sizes and rows_per_block set; light and overview are written to it.
  PageSums(PageRaster& page, const StoredSize& size, const SumsOptions& options,
           const LightSinkFactory& make_sink);
  PageSums(const PageSums&) = delete;
  PageSums& operator=(const PageSums&) = delete;

  // The next stored rows, top to bottom. finish() follows the last row of the image or of a stretch.
  void add(const Rows& rows);
  void finish();

  // For several threads: each gets another() and accumulates stretches, which begin where move_to() says, at
  // multiples of step_px(). 0: the page is one stretch.
  [[nodiscard]] int step_px() const;
  [[nodiscard]] std::unique_ptr<PageSums> another();
  void move_to(int row);
  // Adds another's counts; light and overview are in the page already.
  void join(const PageSums& other);

  [[nodiscard]] const PixelStatistics& pixels() const { return pixels_; }
  [[nodiscard]] const ColourCounter& colours() const { return colours_; }

 private:
  PageSums(const StoredSize& size, const SumsOptions& options, const BlockSums& sums,
           const std::optional<OverviewRows>& overview);
  void add_filtered(const Rows& rows);

  StoredSize size_;
  SumsOptions options_;
  BlockSums sums_;
  PixelStatistics pixels_;
  PixelSampler sampler_;
  ColourCounter colours_;
  std::optional<OverviewRows> overview_;
  std::optional<LumaFilter> luma_filter_;
};

}  // namespace scrapetrace::scan
