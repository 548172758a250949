#include "scan/tiff_decoder.h"

#include <algorithm>
#include <numeric>

#include "scan/object_pool.h"
#include "scan/tiff_handle.h"

namespace scrapetrace::scan {

namespace {

// Stretches per thread, so that no thread waits long for the last one; fewer where a stretch splits strips.
constexpr int kManyPerThread = 16;
constexpr int kFewPerThread = 4;
constexpr int kRowsAtOnce = 16;  // passed on together; a strip may hold a single row

struct StripReader {
  std::unique_ptr<TiffHandle> tiff;
  std::vector<std::uint8_t> rows;  // one group of strips
};

class TiffDecoder : public PageDecoder {
 public:
  TiffDecoder(const ScanFile& file, int index, const TiffStrips& strips)
      : file_(file),
        index_(index),
        strips_(strips),
        rows_per_group_(strips.rows_per_strip * std::max(1, kRowsAtOnce / strips.rows_per_strip)),
        readers_([this] { return reader(); }) {}

  // A strip group across two stretches is decoded twice.
  [[nodiscard]] std::vector<int> stretches(int step_px, int threads) const override {
    const int height = strips_.size.height_px;
    const auto rows_for = [&](int stretches) { return std::max(1, height / (stretches * threads)); };
    const int whole_groups = std::lcm(step_px, rows_per_group_);
    const bool undivided = whole_groups <= rows_for(kFewPerThread);
    const int step = undivided ? whole_groups : step_px;
    const int most = rows_for(undivided ? kManyPerThread : kFewPerThread);
    const int length = threads == 1 ? height : std::max(1, most / step) * step;
    std::vector<int> rows;
    for (int row = 0; row < height; row += length) rows.push_back(row);
    return rows;
  }

  bool decode(int from, int to, const RowSink& sink) override {
    auto reader = readers_.acquire();
    if (!reader) return false;
    for (int top = from / rows_per_group_ * rows_per_group_; top < to; top += rows_per_group_) {
      if (!hand_on(*reader, top, from, to, sink)) return false;
    }
    readers_.release(std::move(reader));
    return true;
  }

 private:
  [[nodiscard]] std::unique_ptr<StripReader> reader() const {
    auto out = std::make_unique<StripReader>();
    out->tiff = TiffHandle::open(file_.descriptor(), index_);
    if (!out->tiff) return nullptr;
    out->rows.resize(strips_.row_bytes() * static_cast<std::size_t>(rows_per_group_));
    return out;
  }

  // Decodes the group that begins at row `top` and passes on its rows within from..to - 1.
  [[nodiscard]] bool hand_on(StripReader& reader, int top, int from, int to, const RowSink& sink) const {
    const int end = std::min(top + rows_per_group_, strips_.size.height_px);
    const auto stride = static_cast<std::ptrdiff_t>(strips_.row_bytes());
    std::uint8_t* out = reader.rows.data();
    for (int row = top; row < end; row += strips_.rows_per_strip) {
      const auto bytes =
          strips_.row_bytes() * static_cast<std::size_t>(std::min(strips_.rows_per_strip, end - row));
      if (!reader.tiff->read(row / strips_.rows_per_strip, out, bytes)) return false;
      out += bytes;
    }
    const int first = std::max(from, top);
    sink({reader.rows.data() + (first - top) * stride, stride, std::min(to, end) - first});
    return true;
  }

  ScanFile file_;
  int index_;
  TiffStrips strips_;
  int rows_per_group_;
  ObjectPool<StripReader> readers_;
};

}  // namespace

std::unique_ptr<PageDecoder> tiff_decoder(const ScanFile& file, int index, const StoredSize& size) {
  const auto tiff = TiffHandle::open(file.descriptor(), index);
  const TiffStrips strips = tiff ? tiff->strips() : TiffStrips{};
  if (strips.rows_per_strip == 0 || !(strips.size == size)) return nullptr;
  return std::make_unique<TiffDecoder>(file, index, strips);
}

}  // namespace scrapetrace::scan
