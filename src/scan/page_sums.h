#pragma once
// All that is added up of a page while its rows pass by.

#include <memory>
#include <optional>

#include "scan/block_sums.h"
#include "scan/colour_counter.h"
#include "scan/even_colour.h"
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
  std::optional<EvenColour::Axis> even;  // of 8-bit pictures of three bands
};

class PageSums {
 public:
  // `page` has its sizes and rows_per_block set; light and overview are written into it.
  PageSums(PageRaster& page, const StoredSize& size, const SumsOptions& options, const Room& room);
  PageSums(const PageSums&) = delete;
  PageSums& operator=(const PageSums&) = delete;

  // The next stored rows, top to bottom; finish() after the last of them, or of a stretch.
  void add(const Rows& rows);
  void finish();

  // Several may share a page's rows: each adds up stretches of its own, which begin where move_to() says, at
  // a multiple of step_px() - 0: the page is one stretch -, and may do so at the same time as the others.
  [[nodiscard]] int step_px() const;
  [[nodiscard]] std::unique_ptr<PageSums> another();
  void move_to(int row);
  // What another one has counted; light and overview lie in the page already.
  void join(const PageSums& other);

  [[nodiscard]] const PixelStatistics& pixels() const { return pixels_; }
  [[nodiscard]] const ColourCounter& colours() const { return colours_; }

 private:
  PageSums(const StoredSize& size, const SumsOptions& options, const BlockSums& sums,
           const std::optional<OverviewRows>& overview);
  void add_evened(const Rows& rows);

  StoredSize size_;
  SumsOptions options_;
  BlockSums sums_;
  PixelStatistics pixels_;
  PixelSampler sampler_;
  ColourCounter colours_;
  std::optional<OverviewRows> overview_;
  std::optional<EvenColour> even_;
};

}  // namespace scrapetrace::scan
