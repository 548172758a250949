#include "scan/jpeg_decoder.h"

#include <sys/stat.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "base/parallel.h"
#include "scan/bounded_queue.h"

namespace scrapetrace::scan {

namespace {

constexpr int kJpegRowsAtOnce = 16;
constexpr int kMostStretches = 4;
constexpr int kShortest_px = 256;  // rows; a shorter stretch is not worth a thread

double bytes_in(const JpegSource& source) {
  if (source.file == nullptr) return static_cast<double>(source.bytes.size());
  struct stat about {};
  return fstat(source.file->descriptor(), &about) == 0 ? static_cast<double>(about.st_size) : 0;
}

class JpegDecoder : public PageDecoder {
 public:
  JpegDecoder(const JpegSource& source, const StoredSize& size) : source_(source), size_(size) {}

  // A thread that starts further down must first skip rows, which saves the share q of the work per row. All
  // n threads finish together when the k-th starts at (1 - q^k) / (1 - q^n) of the height.
  [[nodiscard]] std::vector<int> stretches(int step_px, int threads) const override {
    const int n = std::min({threads, kMostStretches, size_.height_px / kShortest_px});
    const double q = saved_by_reading_over();
    std::vector<int> rows{0};
    for (int k = 1; k < n; ++k) {
      const double at = size_.height_px * (1 - std::pow(q, k)) / (1 - std::pow(q, n));
      const int row = static_cast<int>(at) / step_px * step_px;
      if (row > rows.back()) rows.push_back(row);
    }
    return rows;
  }

  bool decode(int from, int to, const RowSink& sink) override {
    JpegRows jpeg(source_);
    if (from > 0 && !jpeg.skip(from)) return false;
    const int strips = (to - from + kJpegRowsAtOnce - 1) / kJpegRowsAtOnce;
    const std::size_t stride =
        static_cast<std::size_t>(size_.width_px) * static_cast<std::size_t>(size_.bands);
    std::array<std::vector<std::uint8_t>, kQueueSlots> slots;
    const auto fill = [&](std::size_t slot, int strip) -> Rows {
      const int rows = std::min(kJpegRowsAtOnce, to - from - strip * kJpegRowsAtOnce);
      slots[slot].resize(stride * kJpegRowsAtOnce);
      const bool read = jpeg.read(slots[slot].data(), stride, rows);
      return {slots[slot].data(), static_cast<std::ptrdiff_t>(stride), read ? rows : 0};
    };
    // The whole page is one stretch: let another thread consume its rows.
    if (to - from == size_.height_px && thread_count(0) > 1) return produce_and_consume(strips, fill, sink);
    for (int strip = 0; strip < strips; ++strip) {
      const Rows rows = fill(0, strip);
      if (rows.count == 0) return false;
      sink(rows);
    }
    return true;
  }

 private:
  // Measured: nanoseconds to skip a byte of the file, and to decode a sample.
  [[nodiscard]] double saved_by_reading_over() const {
    constexpr double kByte = 13;
    constexpr double kSample = 0.9;
    const double over = kByte * bytes_in(source_);
    const double made = kSample * size_.width_px * size_.height_px * size_.bands;
    return std::clamp(made / (over + made), 0.05, 0.95);
  }

  JpegSource source_;
  StoredSize size_;
};

}  // namespace

std::unique_ptr<PageDecoder> jpeg_decoder(const JpegSource& source, const StoredSize& size) {
  const JpegRows jpeg(source);
  if (size.width_px == 0 || !(jpeg.size() == size)) return nullptr;
  return std::make_unique<JpegDecoder>(source, size);
}

}  // namespace scrapetrace::scan
