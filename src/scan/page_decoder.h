#pragma once
// Whoever decodes the pixels of a page, from its top or from further down.

#include <vector>

#include "scan/rows.h"

namespace scrapetrace::scan {

class PageDecoder {
 public:
  PageDecoder() = default;
  PageDecoder(const PageDecoder&) = delete;
  PageDecoder& operator=(const PageDecoder&) = delete;
  virtual ~PageDecoder() = default;

  // Rows where stretches begin that are best decoded each by itself, at multiples of `step_px` (above 0),
  // rising from row 0; `threads` are there to do it.
  [[nodiscard]] virtual std::vector<int> stretches(int step_px, int threads) const = 0;
  // Hands `take` the rows from..to - 1 in order, from one thread at a time. Several threads may decode
  // stretches at the same time. False when not all of them can be decoded; what `take` throws is thrown here.
  virtual bool decode(int from, int to, const Take& take) = 0;
};

}  // namespace scrapetrace::scan
