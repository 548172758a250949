#pragma once
// Pixels in memory as rows of one or three bands, whatever the view on them is like.

#include <cstdint>
#include <optional>
#include <vector>

#include "scan/page_decoder.h"
#include "scan/page_sums.h"
#include "scrapetrace/pixels.h"

namespace scrapetrace::scan {

// What keeps the view from being read, its field named.
std::optional<Problem> wrong_with(const PixelView& view);

// A view that nothing is wrong with. As a decoder, for accumulate_rows().
class PlainPixels : public PageDecoder {
 public:
  explicit PlainPixels(const PixelView& view);

  [[nodiscard]] const StoredSize& size() const { return size_; }
  [[nodiscard]] std::vector<int> stretches(int step_px, int threads) const override;
  bool decode(int from, int to, const RowSink& sink) override;
  // All rows, without a gap; empty where they lie like that already, at samples().
  [[nodiscard]] std::vector<std::uint8_t> copied() const;
  [[nodiscard]] const std::uint8_t* samples() const { return first_; }

 private:
  [[nodiscard]] std::size_t row_bytes() const;
  void copy_row(int row, std::uint8_t* out) const;

  StoredSize size_;
  const std::uint8_t* first_;
  std::ptrdiff_t stride_;
  bool alpha_;
  bool as_it_is_;  // neither alpha to lay on white nor samples at odd addresses
};

}  // namespace scrapetrace::scan
