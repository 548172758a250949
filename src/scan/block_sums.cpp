#include "scan/block_sums.h"

#include <algorithm>
#include <cmath>

#include "base/srgb.h"

namespace scrapetrace::scan {

BlockSums::BlockSums(PageRaster& page, int bands, int bytes_per_sample)
    : BlockSums(page, bands, bytes_per_sample, {page.transposed, false, false}) {}

BlockSums::BlockSums(PageRaster& page, int bands, int bytes_per_sample, ReadingOrder order)
    : page_(page),
      order_(order),
      bands_(static_cast<std::size_t>(bands)),
      bytes_per_sample_(bytes_per_sample) {
  const std::size_t codes = bytes_per_sample == 1 ? 256 : 65536;
  linear_of_.resize(codes);
  for (std::size_t i = 0; i < codes; ++i) {
    const double code = static_cast<double>(i) / static_cast<double>(codes - 1);
    linear_of_[i] = static_cast<std::uint16_t>(std::lround(65535.0 * linear_from_srgb(code)));
  }
  page_.grey = bands == 1;
  page_.linear.assign(static_cast<std::size_t>(page_.blocks()) * 3 * static_cast<std::size_t>(page_.width_px),
                      0);
  if (!order_.transposed) sums_.assign(static_cast<std::size_t>(page_.width_px) * bands_, 0);
}

template <class Sample>
void BlockSums::accumulate(const Sample* samples) {
  const std::uint16_t* linear = linear_of_.data();
  std::uint32_t* sums = sums_.data();
  const std::size_t n = sums_.size();
  for (std::size_t i = 0; i < n; ++i) sums[i] += linear[samples[i]];
}

template <class Sample>
void BlockSums::accumulate_across(const Sample* samples) {
  const int x = order_.flip_u ? page_.width_px - 1 - rows_seen_ : rows_seen_;
  for (int block = 0; block < page_.blocks(); ++block) {
    const int count = page_.rows_in(block);
    const int start = block * page_.rows_per_block;
    const int from = order_.flip_v ? page_.height_px - start - count : start;
    const Sample* first = samples + static_cast<std::size_t>(from) * bands_;
    for (std::size_t b = 0; b < bands_; ++b) {
      std::uint32_t sum = 0;
      for (int i = 0; i < count; ++i) sum += linear_of_[first[static_cast<std::size_t>(i) * bands_ + b]];
      store(block, static_cast<int>(b), x, sum, count);
    }
  }
}

void BlockSums::store(int block, int channel, int x, std::uint32_t sum, int count) {
  const auto mean = static_cast<std::uint16_t>((sum + static_cast<std::uint32_t>(count) / 2) /
                                               static_cast<std::uint32_t>(count));
  const auto at = [&](int c) {
    return (static_cast<std::size_t>(block) * 3 + static_cast<std::size_t>(c)) *
               static_cast<std::size_t>(page_.width_px) +
           static_cast<std::size_t>(x);
  };
  page_.linear[at(channel)] = mean;
  if (bands_ == 1) page_.linear[at(1)] = page_.linear[at(2)] = mean;
}

void BlockSums::add_row(const std::uint8_t* samples) {
  if (order_.transposed) {
    add_across(samples);
  } else {
    add_along(samples);
  }
}

void BlockSums::add_across(const std::uint8_t* samples) {
  if (bytes_per_sample_ == 1) {
    accumulate_across(samples);
  } else {
    accumulate_across(reinterpret_cast<const std::uint16_t*>(samples));
  }
  ++rows_seen_;
}

void BlockSums::add_along(const std::uint8_t* samples) {
  if (bytes_per_sample_ == 1) {
    accumulate(samples);
  } else {
    accumulate(reinterpret_cast<const std::uint16_t*>(samples));
  }
  const int row = order_.flip_v ? page_.height_px - 1 - rows_seen_ : rows_seen_;
  const int block = row / page_.rows_per_block;
  ++rows_seen_;
  if (++rows_in_block_ == page_.rows_in(block)) flush(block);
}

void BlockSums::flush(int block) {
  for (int u = 0; u < page_.width_px; ++u) {
    const int x = order_.flip_u ? page_.width_px - 1 - u : u;
    for (std::size_t b = 0; b < bands_; ++b) {
      store(block, static_cast<int>(b), x, sums_[static_cast<std::size_t>(u) * bands_ + b], rows_in_block_);
    }
  }
  std::fill(sums_.begin(), sums_.end(), 0U);
  rows_in_block_ = 0;
}

}  // namespace scrapetrace::scan
