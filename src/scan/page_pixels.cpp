#include "scan/page_pixels.h"

#include <algorithm>

#include "base/parallel.h"
#include "scan/accumulate_rows.h"
#include "scan/decode_directly.h"
#include "scan/row_feed.h"

namespace scrapetrace::scan {

namespace {

constexpr int kRowsPerStrip = 16;
constexpr std::size_t kMostThreads = 8;

class VipsDecoder : public PageDecoder {
 public:
  explicit VipsDecoder(VipsImage* image) : image_(image) {}
  [[nodiscard]] std::vector<int> stretches(int, int) const override { return {0}; }
  bool decode(int, int, const RowSink& sink) override { return feed_rows(image_, kRowsPerStrip, sink); }

 private:
  VipsImage* image_;
};

std::unique_ptr<PageSums> sums_by(PageDecoder& decoder, const PixelsWanted& wanted, PageRaster& page) {
  auto sums = std::make_unique<PageSums>(page, wanted.size, wanted.sums, wanted.make_sink);
  const auto threads = static_cast<int>(std::min(kMostThreads, thread_count(wanted.threads)));
  return accumulate_rows(decoder, wanted.size.height_px, threads, *sums) ? std::move(sums) : nullptr;
}

}  // namespace

std::unique_ptr<PageSums> take_pixels(const ScanFile& file, int index, const OpenedPage& opened,
                                      const PixelsWanted& wanted, PageRaster& page) {
  if (wanted.as_stored) {
    const auto direct = direct_decoder(file, index, opened, wanted.size);
    auto sums = direct ? sums_by(*direct, wanted, page) : nullptr;
    if (sums) return sums;
  }
  if (!opened.image) return nullptr;
  VipsDecoder by_vips(opened.image.get());
  return sums_by(by_vips, wanted, page);
}

}  // namespace scrapetrace::scan
