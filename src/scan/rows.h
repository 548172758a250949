#pragma once
// A strip of image rows on its way through the pipeline, top to bottom.

#include <cstddef>
#include <cstdint>
#include <functional>

namespace scrapetrace::scan {

// Interleaved samples in host byte order, not owned.
struct Rows {
  const std::uint8_t* first = nullptr;
  std::ptrdiff_t stride = 0;  // bytes from row to row
  int count = 0;
  template <class Sample>
  [[nodiscard]] const Sample* row(int r) const {
    return reinterpret_cast<const Sample*>(first + r * stride);
  }
};

// Consumes rows; it may not keep the pointer.
using RowSink = std::function<void(const Rows&)>;

}  // namespace scrapetrace::scan
