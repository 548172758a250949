#include "scan/block_sums.h"

#include <algorithm>

#include "base/wide.h"

namespace scrapetrace::scan {

namespace {

constexpr int kPutAtOnce = 8;  // blocks per call of the sink: fewer would wake its reader too often

// Rounded means of sums of up to 64 16-bit values. Such a sum is below 2^22, so the product with ceil(2^32 /
// count) is off by less than 2^22 / 2^32 < 1 / 64, and its integer part is exact.
class Mean {
 public:
  explicit Mean(int count)
      : half_(static_cast<std::uint32_t>(count) / 2),
        inverse_(((std::uint64_t{1} << 32U) + static_cast<std::uint64_t>(count) - 1) /
                 static_cast<std::uint64_t>(count)) {}
  [[nodiscard]] inline std::uint16_t of(std::uint32_t sum) const {
    return static_cast<std::uint16_t>(((sum + half_) * inverse_) >> 32U);
  }

 private:
  std::uint64_t half_;
  std::uint64_t inverse_;
};

// Interleaved sums of three bands, to one line per band.
SCRAPETRACE_WIDE void take_means(const std::uint32_t* sums, std::size_t width, Mean mean,
                                 std::uint16_t* out) {
  std::uint16_t* const red = out;
  std::uint16_t* const green = out + width;
  std::uint16_t* const blue = out + 2 * width;
  for (std::size_t u = 0; u < width; ++u) {
    red[u] = mean.of(sums[3 * u]);
    green[u] = mean.of(sums[3 * u + 1]);
    blue[u] = mean.of(sums[3 * u + 2]);
  }
}

}  // namespace

BlockSums::BlockSums(PageRaster& page, int bands, int bytes_per_sample)
    : BlockSums(page, bands, bytes_per_sample, {page.transposed, false, false}) {}

BlockSums::BlockSums(PageRaster& page, int bands, int bytes_per_sample, ReadingOrder order,
                     const LightSinkFactory& make_sink)
    : page_(page),
      order_(order),
      bands_(static_cast<std::size_t>(bands)),
      bytes_per_sample_(bytes_per_sample),
      light_(bytes_per_sample) {
  page_.grey = bands == 1;
  // Blocks that come in order are appended: their memory is first touched while the next rows are decoded.
  page_.linear = Light();
  if (make_sink && !order_.transposed)
    put_ = make_sink(static_cast<std::size_t>(page_.blocks()), raster_size(1));
  if (put_)
    made_.resize(raster_size(kPutAtOnce));
  else if (order_.transposed || order_.flip_v)
    page_.linear.own().assign(raster_size(page_.blocks()), 0);
  else
    page_.linear.own().reserve(raster_size(page_.blocks()));
  if (!order_.transposed) sums_.assign(static_cast<std::size_t>(page_.width_px) * bands_, 0);
}

std::size_t BlockSums::raster_size(int blocks) const {
  return static_cast<std::size_t>(blocks) * 3 * static_cast<std::size_t>(page_.width_px);
}

void BlockSums::prepare_for_stretches() {
  if (!put_) page_.linear.own().resize(raster_size(page_.blocks()));
}

// In a transposed image every row belongs to all blocks.
int BlockSums::step_px() const {
  if (order_.transposed) return 1;
  return order_.flip_v ? 0 : page_.rows_per_block;
}

std::uint16_t* BlockSums::line(int block, std::size_t channel) {
  return page_.linear.own().data() +
         (static_cast<std::size_t>(block) * 3 + channel) * static_cast<std::size_t>(page_.width_px);
}

void BlockSums::add(const Rows& rows) {
  if (order_.transposed) {
    bytes_per_sample_ == 1 ? add_across<std::uint8_t>(rows) : add_across<std::uint16_t>(rows);
  } else {
    bytes_per_sample_ == 1 ? add_along<std::uint8_t>(rows) : add_along<std::uint16_t>(rows);
  }
}

template <class Sample>
void BlockSums::add_across(const Rows& rows) {
  for (int block = 0; block < page_.blocks(); ++block) {
    const int count = page_.rows_in(block);
    const Mean mean(count);
    const int start = block * page_.rows_per_block;
    const int from = order_.flip_v ? page_.height_px - start - count : start;
    for (int r = 0; r < rows.count; ++r) {
      const int u = rows_seen_ + r;
      const auto x = static_cast<std::size_t>(order_.flip_u ? page_.width_px - 1 - u : u);
      const Sample* first = rows.row<Sample>(r) + static_cast<std::size_t>(from) * bands_;
      for (std::size_t b = 0; b < bands_; ++b) {
        std::uint32_t sum = 0;
        for (std::size_t i = 0; i < static_cast<std::size_t>(count); ++i)
          sum += light_.of(first[i * bands_ + b]);
        line(block, b)[x] = mean.of(sum);
      }
      if (bands_ == 1) line(block, 1)[x] = line(block, 2)[x] = line(block, 0)[x];
    }
  }
  rows_seen_ += rows.count;
}

template <class Sample>
void BlockSums::add_along(Rows rows) {
  while (rows.count > 0) {
    const int row = order_.flip_v ? page_.height_px - 1 - rows_seen_ : rows_seen_;
    const int block = row / page_.rows_per_block;
    const int missing = page_.rows_in(block) - rows_in_block_;
    const Rows now{rows.first, rows.stride, std::min(missing, rows.count)};
    light_.add<Sample>(now, sums_.size(), sums_.data());
    rows_seen_ += now.count;
    rows_in_block_ += now.count;
    if (now.count == missing) flush(block);
    rows.first += now.count * rows.stride;
    rows.count -= now.count;
  }
}

std::uint16_t* BlockSums::place_of(int block) {
  if (!put_) {
    page_.linear.own().resize(std::max(page_.linear.size(), raster_size(block + 1)));
    return line(block, 0);
  }
  if (block != first_made_ + count_made_) put_made(block);
  return made_.data() + raster_size(count_made_);
}

void BlockSums::flush(int block) {
  std::uint16_t* const out = place_of(block);
  const Mean mean(rows_in_block_);
  const auto width = static_cast<std::size_t>(page_.width_px);
  if (bands_ == 3) {
    take_means(sums_.data(), width, mean, out);
  } else {
    for (std::size_t u = 0; u < width; ++u) out[u] = mean.of(sums_[u]);
  }
  for (std::size_t b = 0; b < bands_ && order_.flip_u; ++b)
    std::reverse(out + b * width, out + (b + 1) * width);
  if (bands_ == 1) {
    std::copy_n(out, width, out + width);
    std::copy_n(out, width, out + 2 * width);
  }
  if (put_ && ++count_made_ == kPutAtOnce) put_made(block + 1);
  std::fill(sums_.begin(), sums_.end(), 0U);
  rows_in_block_ = 0;
}

void BlockSums::put_made(int next) {
  if (count_made_ > 0) put_(static_cast<std::size_t>(first_made_), {made_.data(), raster_size(count_made_)});
  first_made_ = next;
  count_made_ = 0;
}

}  // namespace scrapetrace::scan
