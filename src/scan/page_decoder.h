#pragma once
// Interface of the decoders.

#include <vector>

#include "scan/rows.h"

namespace scrapetrace::scan {

class PageDecoder {
 public:
  PageDecoder() = default;
  PageDecoder(const PageDecoder&) = delete;
  PageDecoder& operator=(const PageDecoder&) = delete;
  virtual ~PageDecoder() = default;

  // First rows of the stretches that are best decoded independently by `threads` threads: multiples of
  // `step_px` (above 0), ascending from 0.
  [[nodiscard]] virtual std::vector<int> stretches(int step_px, int threads) const = 0;
  // Passes rows from..to - 1 to `sink` in order, from one thread at a time. Several threads may decode
  // different stretches at once. False when some row cannot be decoded. Rethrows what `sink` throws.
  virtual bool decode(int from, int to, const RowSink& sink) = 0;
};

}  // namespace scrapetrace::scan
