#pragma once
// A TIFF page whose strips hold plain samples. Only this file knows libtiff.

#include <array>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>

#include "scan/page_sums.h"

struct tiff;  // libtiff's TIFF

namespace scrapetrace::scan {

struct TiffStrips {
  StoredSize size;
  int rows_per_strip = 0;  // the last strip may hold fewer
  [[nodiscard]] std::size_t row_bytes() const {
    return static_cast<std::size_t>(size.width_px) * static_cast<std::size_t>(size.bands * size.bytes);
  }
};

// The directory of a plain page.
struct TiffHeader {
  StoredSize size;
  int orientation = 1;                       // Exif orientation, 1 to 8
  std::array<float, 2> density_px_per_mm{};  // across and along; 0: none
};

class TiffHandle {
 public:
  // Page `index`, from 0, of the file behind `descriptor`, which must stay open. Does not use its offset, so
  // several handles may read at once. Null when libtiff cannot read the directory.
  static std::unique_ptr<TiffHandle> open(int descriptor, int index);
  TiffHandle(const TiffHandle&) = delete;
  TiffHandle& operator=(const TiffHandle&) = delete;
  ~TiffHandle();

  // For grey (black is 0) or RGB, 8 or 16 bits, interleaved, strips of moderate size, uncompressed, LZW or
  // deflate. Otherwise rows_per_strip is 0.
  [[nodiscard]] TiffStrips strips() const;
  // Nothing when libtiff warned, strips() is empty, or the directory holds a tag that might change the
  // meaning of samples, such as a colour profile.
  [[nodiscard]] std::optional<TiffHeader> plain_header() const;
  [[nodiscard]] bool is_last() const;
  // Moves to the next page. False when libtiff cannot read its directory.
  bool go_on();
  // Decodes strip `number`, `bytes` in all, in host byte order. False on failure.
  bool read(int number, std::uint8_t* to, std::size_t bytes);

  // libtiff's data source.
  struct Place {
    int descriptor = -1;
    std::uint64_t at = 0;
    std::uint64_t size = 0;
  };

 private:
  explicit TiffHandle(int descriptor);

  Place place_;
  bool complained_ = false;  // libtiff warned or failed at least once
  struct tiff* tiff_ = nullptr;
};

}  // namespace scrapetrace::scan
