// A page that is shared among threads gives the numbers that it gives as one piece.

#include "scan/accumulate_rows.h"

#include <stdexcept>

#include "pictures.h"

namespace scrapetrace::scan {
namespace {

// Rows of a picture in memory, in as many stretches as there can be.
class Memory : public PageDecoder {
 public:
  explicit Memory(const Picture& picture) : picture_(picture) {}
  [[nodiscard]] std::vector<int> stretches(int step_px, int threads) const override {
    std::vector<int> rows;
    for (int row = 0; row < picture_.height; row += threads == 1 ? picture_.height : step_px)
      rows.push_back(row);
    return rows;
  }
  bool decode(int from, int to, const RowSink& take) override {
    const auto stride = static_cast<std::ptrdiff_t>(picture_.pixel_bytes()) * picture_.width;
    for (int row = from; row < to; row += 10) {
      if (row <= broken_row && broken_row < row + 10) return false;
      take({picture_.bytes.data() + stride * row, stride, std::min(10, to - row)});
    }
    return true;
  }
  int broken_row = -1;

 private:
  const Picture& picture_;
};

struct Case {
  ReadingOrder order;
  int rows_per_block = 8;
  std::optional<LumaFilter::Axis> even;
};

struct Added {
  PageRaster page;
  bool whole = false;
  std::size_t colours = 0;
};

Added added(const Picture& p, const Case& how, int threads, int broken_row = -1) {
  Added out;
  out.page.transposed = how.order.transposed;
  out.page.width_px = how.order.transposed ? p.height : p.width;
  out.page.height_px = how.order.transposed ? p.width : p.height;
  out.page.rows_per_block = how.rows_per_block;
  PageSums sums(out.page, {p.width, p.height, p.bands, p.bits / 8}, {how.order, true, how.even}, {});
  Memory memory(p);
  memory.broken_row = broken_row;
  out.whole = accumulate_rows(memory, p.height, threads, sums);
  out.page.pixels = sums.pixels();
  out.colours = sums.colours().few() ? sums.colours().count() : 0;
  return out;
}

void expect_same(const Picture& p, const Case& how) {
  const Added one = added(p, how, 1);
  EXPECT_TRUE(one.whole);
  for (const int threads : {2, 5}) {
    const Added several = added(p, how, threads);
    EXPECT_TRUE(several.whole);
    EXPECT_EQ(several.page.linear, one.page.linear);
    EXPECT_EQ(several.page.overview.grey, one.page.overview.grey);
    EXPECT_EQ(several.page.pixels.codes, one.page.pixels.codes);
    for (std::size_t phase = 0; phase < 8; ++phase) {
      EXPECT_EQ(several.page.pixels.steps[phase].sum, one.page.pixels.steps[phase].sum);
      EXPECT_EQ(several.page.pixels.steps[phase].count, one.page.pixels.steps[phase].count);
    }
    EXPECT_EQ(several.page.pixels.bits, p.bits);
    EXPECT_EQ(several.colours, one.colours);
  }
}

TEST(AccumulateRows, GivesTheSameNumbersOnAnyNumberOfThreads) {
  for (const int bands : {1, 3}) {
    for (const int bits : {8, 16}) {
      const Picture p = picture(bands, bits);
      for (const bool transposed : {false, true}) {
        for (const bool flip_u : {false, true}) {
          for (const bool flip_v : {false, true}) {
            for (const int rows : {1, 7, 8, 64}) expect_same(p, {{transposed, flip_u, flip_v}, rows, {}});
          }
        }
      }
    }
  }
  for (const auto axis : {LumaFilter::Axis::along_rows, LumaFilter::Axis::along_columns})
    expect_same(picture(3, 8), {{}, 8, axis});
}

TEST(AccumulateRows, CountsFewColoursOnAnyNumberOfThreads) {
  Picture p = picture(3, 8);
  std::mt19937 random(6);
  for (auto& sample : p.bytes) sample = random() % 2 == 0 ? 90 : 200;
  EXPECT_EQ(added(p, {}, 1).colours, 8U);
  expect_same(p, {});
}

TEST(AccumulateRows, ARowThatIsMissingIsTold) {
  for (const int threads : {1, 3}) {
    for (const int row : {0, 155, kHeight - 1}) EXPECT_FALSE(added(picture(3, 8), {}, threads, row).whole);
  }
}

class Throwing : public PageDecoder {
 public:
  [[nodiscard]] std::vector<int> stretches(int step_px, int) const override { return {0, step_px}; }
  bool decode(int, int, const RowSink&) override { throw std::runtime_error("no more"); }
};

TEST(AccumulateRows, WhatIsThrownReachesTheCaller) {
  PageRaster page;
  page.width_px = 10;
  page.height_px = 100;
  PageSums sums(page, {10, 100, 3, 1}, {}, {});
  Throwing decoder;
  EXPECT_THROW(accumulate_rows(decoder, 100, 2, sums), std::runtime_error);
}

}  // namespace
}  // namespace scrapetrace::scan
