#include "scan/png_filters.h"

#include <array>
#include <cstring>

#include "base/wide.h"

namespace scrapetrace::scan {

namespace {

using Byte = std::uint8_t;
// The samples of a pixel as one vector.
using Bytes8 = Byte __attribute__((vector_size(8)));
using Words8 = std::int16_t __attribute__((vector_size(16)));

SCRAPETRACE_WIDE void undo_up(const Byte* stored, const Byte* above, Byte* row, std::size_t size) {
  for (std::size_t i = 0; i < size; ++i) row[i] = static_cast<Byte>(stored[i] + above[i]);
}

template <std::size_t kPixel>
void undo_sub(const Byte* stored, Byte* row, std::size_t size) {
  std::array<Byte, kPixel> left{};
  for (std::size_t i = 0; i < size; i += kPixel) {
    for (std::size_t k = 0; k < kPixel; ++k)
      row[i + k] = left[k] = static_cast<Byte>(left[k] + stored[i + k]);
  }
}

template <std::size_t kPixel>
void undo_average(const Byte* stored, const Byte* above, Byte* row, std::size_t size) {
  std::array<Byte, kPixel> left{};
  for (std::size_t i = 0; i < size; i += kPixel) {
    for (std::size_t k = 0; k < kPixel; ++k)
      row[i + k] = left[k] = static_cast<Byte>(stored[i + k] + (left[k] + above[i + k]) / 2);
  }
}

Words8 words_at(const Byte* p) {
  Bytes8 bytes;
  std::memcpy(&bytes, p, sizeof bytes);
  return __builtin_convertvector(bytes, Words8);
}

Words8 magnitude(Words8 x) {
  return x < 0 ? -x : x;
}

// The Paeth predictor: left, above or corner, whichever is nearest to left + above - corner, in this order.
template <std::size_t kPixel>
void undo_paeth(const Byte* stored, const Byte* above, Byte* row, std::size_t size) {
  Words8 left{};
  Words8 corner{};
  for (std::size_t i = 0; i < size; i += kPixel) {
    const Words8 up = words_at(above + i);
    const Words8 to_left = up - corner;
    const Words8 to_up = left - corner;
    const Words8 far_left = magnitude(to_left);
    const Words8 far_up = magnitude(to_up);
    const Words8 far_corner = magnitude(to_left + to_up);
    const Words8 other = far_up <= far_corner ? up : corner;
    const Words8 nearest = ((far_left <= far_up) & (far_left <= far_corner)) ? left : other;
    left = (words_at(stored + i) + nearest) & 0xFF;
    corner = up;
    const Bytes8 bytes = __builtin_convertvector(left, Bytes8);
    std::memcpy(row + i, &bytes, sizeof bytes);
  }
}

template <std::size_t kPixel>
bool undo(int type, const Byte* stored, const Byte* above, Byte* row, std::size_t size) {
  switch (type) {
    case 0:
      std::memcpy(row, stored, size);
      return true;
    case 1:
      undo_sub<kPixel>(stored, row, size);
      return true;
    case 2:
      undo_up(stored, above, row, size);
      return true;
    case 3:
      undo_average<kPixel>(stored, above, row, size);
      return true;
    case 4:
      undo_paeth<kPixel>(stored, above, row, size);
      return true;
    default:
      return false;
  }
}

}  // namespace

bool undo_png_filter(int type, const std::uint8_t* stored, const std::uint8_t* above, std::uint8_t* row,
                     std::size_t size, std::size_t pixel) {
  switch (pixel) {
    case 1:
      return undo<1>(type, stored, above, row, size);
    case 2:
      return undo<2>(type, stored, above, row, size);
    case 3:
      return undo<3>(type, stored, above, row, size);
    default:
      return undo<6>(type, stored, above, row, size);
  }
}

}  // namespace scrapetrace::scan
