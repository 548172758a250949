#include "scan/png_decoder.h"

#include <isa-l/igzip_lib.h>

#include <algorithm>
#include <array>
#include <bit>
#include <utility>

#include "scan/bounded_queue.h"
#include "scan/png_filters.h"
#include "scan/png_stream.h"

namespace scrapetrace::scan {

namespace {

// Inflates the zlib stream (RFC 1950) and checks its checksum at the end.
class Inflater {
 public:
  explicit Inflater(PngStream& stream) : stream_(stream), state_(std::make_unique<inflate_state>()) {
    isal_inflate_init(state_.get());
    state_->crc_flag = ISAL_ZLIB;
  }
  // False when fewer bytes come.
  bool read(std::uint8_t* to, std::size_t size) {
    state_->next_out = to;
    state_->avail_out = static_cast<std::uint32_t>(size);
    while (state_->avail_out > 0) {
      if (!go_on()) return false;
    }
    return true;
  }
  // Whether the stream ends here, and with it the picture.
  bool ends_well() {
    std::uint8_t none = 0;
    state_->next_out = &none;
    state_->avail_out = 1;
    while (state_->block_state != ISAL_BLOCK_FINISH) {
      if (!go_on() || state_->avail_out == 0) return false;
    }
    return state_->avail_out == 1 && state_->avail_in == 0 && stream_.ends_well();
  }

 private:
  bool go_on() {
    if (state_->block_state == ISAL_BLOCK_FINISH) return false;
    if (state_->avail_in == 0) {
      const auto more = stream_.more();
      state_->next_in = const_cast<std::uint8_t*>(more.data());
      state_->avail_in = static_cast<std::uint32_t>(more.size());
      ended_ = more.empty();
    }
    const auto before = std::pair(state_->avail_out, state_->avail_in);
    const int answer = isal_inflate(state_.get());
    if (answer != ISAL_DECOMP_OK && answer != ISAL_END_INPUT) return false;
    // The inflater may still hold output after its last input.
    return !ended_ || before != std::pair(state_->avail_out, state_->avail_in) ||
           state_->block_state == ISAL_BLOCK_FINISH;
  }

  PngStream& stream_;
  std::unique_ptr<inflate_state> state_;
  bool ended_ = false;
};

// Few enough rows for the L2 cache, and as many as are accumulated together.
int rows_per_strip(std::size_t row_bytes) {
  constexpr std::size_t kStrip = 400'000;  // bytes
  const auto rows = static_cast<int>(std::clamp<std::size_t>(kStrip / row_bytes, 1, 64));
  return rows > 8 ? rows / 8 * 8 : rows;
}

// The inflater's counters have 32 bits.
bool can_be_counted(const StoredSize& size) {
  return (static_cast<double>(size.width_px) * size.bands * size.bytes + 1) * size.height_px < 4e9;
}

class PngDecoder : public PageDecoder {
 public:
  PngDecoder(const ScanFile& file, const StoredSize& size) : file_(file), size_(size) {}

  [[nodiscard]] std::vector<int> stretches(int, int) const override { return {0}; }

  bool decode(int, int, const RowSink& sink) override {
    PngStream stream(file_);
    Inflater inflater(stream);
    const int strips = (size_.height_px + rows_per_strip_ - 1) / rows_per_strip_;
    const auto fill = [&](std::size_t slot, int strip) -> Rows {
      const int rows = std::min(rows_per_strip_, size_.height_px - strip * rows_per_strip_);
      stored_[slot].resize(static_cast<std::size_t>(rows_per_strip_) * (row_bytes_ + 1) + kPngSlack);
      const bool read =
          inflater.read(stored_[slot].data(), static_cast<std::size_t>(rows) * (row_bytes_ + 1));
      return {stored_[slot].data(), static_cast<std::ptrdiff_t>(row_bytes_ + 1), read ? rows : 0};
    };
    bool known_filters = true;
    const auto undo = [&](const Rows& stored) {
      known_filters = known_filters && undo_filters(stored);
      if (known_filters) sink(as_samples(stored.count));
    };
    above_.assign(row_bytes_ + kPngSlack, 0);
    rows_.resize(static_cast<std::size_t>(rows_per_strip_) * row_bytes_ + kPngSlack);
    return produce_and_consume(strips, fill, undo) && known_filters && inflater.ends_well();
  }

 private:
  bool undo_filters(const Rows& stored) {
    const std::uint8_t* above = above_.data();
    for (int r = 0; r < stored.count; ++r) {
      const auto* from = stored.row<std::uint8_t>(r);
      std::uint8_t* to = rows_.data() + static_cast<std::size_t>(r) * row_bytes_;
      if (!undo_png_filter(*from, from + 1, above, to, row_bytes_, pixel_bytes_)) return false;
      above = to;
    }
    std::copy_n(above, row_bytes_, above_.begin());
    return true;
  }

  // 16-bit samples are big-endian.
  Rows as_samples(int count) {
    const auto stride = static_cast<std::ptrdiff_t>(row_bytes_);
    if (size_.bytes == 1 || std::endian::native == std::endian::big) return {rows_.data(), stride, count};
    samples_.resize(static_cast<std::size_t>(rows_per_strip_) * row_bytes_);
    for (std::size_t i = 0; i < static_cast<std::size_t>(count) * row_bytes_; i += 2) {
      samples_[i] = rows_[i + 1];
      samples_[i + 1] = rows_[i];
    }
    return {samples_.data(), stride, count};
  }

  ScanFile file_;
  StoredSize size_;
  std::size_t pixel_bytes_ = static_cast<std::size_t>(size_.bands * size_.bytes);
  std::size_t row_bytes_ = static_cast<std::size_t>(size_.width_px) * pixel_bytes_;
  int rows_per_strip_ = rows_per_strip(row_bytes_);
  std::array<std::vector<std::uint8_t>, kQueueSlots> stored_;
  std::vector<std::uint8_t> rows_;     // of a strip, unfiltered
  std::vector<std::uint8_t> above_;    // last row of the strip before
  std::vector<std::uint8_t> samples_;  // 16-bit samples in host byte order
};

}  // namespace

std::unique_ptr<PageDecoder> png_decoder(const ScanFile& file, const StoredSize& size) {
  const PngStream stream(file);
  if (size.width_px == 0 || !can_be_counted(size) || !(stream.size() == size)) return nullptr;
  return std::make_unique<PngDecoder>(file, size);
}

}  // namespace scrapetrace::scan
