#pragma once
// A page of a TIFF whose samples can be taken as they are stored, strip by strip; alone knows libtiff.

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>

#include "scan/page_sums.h"

struct tiff;  // libtiff's own name for TIFF

namespace scrapetrace::scan {

struct TiffStrips {
  StoredSize size;
  int rows_per_strip = 0;  // the last strip may hold fewer
  [[nodiscard]] std::size_t row_bytes() const {
    return static_cast<std::size_t>(size.width_px) * static_cast<std::size_t>(size.bands * size.bytes);
  }
};

// What a plain page's directory says.
struct TiffHeader {
  StoredSize size;
  int orientation = 1;                       // Exif's, 1 to 8
  std::array<float, 2> density_px_per_mm{};  // across and along; 0: none
};

class TiffHandle {
 public:
  // Page `index`, from 0, of the file behind `descriptor`, which must stay open and whose place is left
  // alone: several handles may read at the same time. Null when libtiff cannot read the page's directory.
  static std::unique_ptr<TiffHandle> open(int descriptor, int index);
  TiffHandle(const TiffHandle&) = delete;
  TiffHandle& operator=(const TiffHandle&) = delete;
  ~TiffHandle();

  // Grey with black at nought or RGB, in whole numbers of 8 or 16 bits, interleaved, in strips of moderate
  // size, not compressed or by LZW or deflate. Anything else: no rows per strip.
  [[nodiscard]] TiffStrips strips() const;
  // Nothing where libtiff so much as warned, where strips() has no rows, and where the directory holds what
  // might change how its samples are to be understood, like a colour profile.
  [[nodiscard]] std::optional<TiffHeader> plain_header() const;
  [[nodiscard]] bool is_last() const;
  // To the next page. False when libtiff cannot read its directory.
  bool go_on();
  // Decodes `bytes`, the whole of strip `number`, in the byte order of this computer. False when that many
  // cannot be had.
  bool read(int number, std::uint8_t* to, std::size_t bytes);

  // What libtiff reads from.
  struct Place {
    int descriptor = -1;
    std::uint64_t at = 0;
    std::uint64_t size = 0;
  };

 private:
  explicit TiffHandle(int descriptor);

  Place place_;
  bool complained_ = false;  // libtiff, of anything so far
  struct tiff* tiff_ = nullptr;
};

}  // namespace scrapetrace::scan
