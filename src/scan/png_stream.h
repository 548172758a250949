#pragma once
// The compressed pixels of a PNG, chunk by chunk with their checksums (PNG Specification, third edition, W3C
// Recommendation, clauses 5 and 11).

#include <array>
#include <cstddef>
#include <cstdint>
#include <set>
#include <span>
#include <string_view>
#include <vector>

#include "scan/page_sums.h"
#include "scan/scan_file.h"

namespace scrapetrace::scan {

class PngStream {
 public:
  // Reads up to the first IDAT chunk. `file` must outlive this. Uses file offsets of its own.
  explicit PngStream(const ScanFile& file);

  // Zero width for pictures it does not take: damaged, interlaced, transparent, or not grey or RGB of 8 or 16
  // bits.
  [[nodiscard]] const StoredSize& size() const { return size_; }
  // Whether a chunk before the pixels might matter to libvips: colour profile, Exif, palette.
  [[nodiscard]] bool says_more() const { return says_more_; }
  // From pHYs, across and along; 0: none.
  [[nodiscard]] const std::array<double, 2>& density_px_per_mm() const { return density_px_per_mm_; }
  // The next bytes of the zlib stream, valid until the next call. Empty at the end and after an error.
  std::span<const std::uint8_t> more();
  // Reads on to the end. True when all checksums are right and no pixel data is left.
  bool ends_well();

 private:
  struct Chunk {
    std::uint32_t type = 0;
    std::size_t left = 0;   // data bytes not yet read
    std::uint32_t sum = 0;  // checksum so far
  };
  bool fill(std::size_t wanted);
  std::uint32_t take_number();
  bool begin_chunk();
  // After a chunk's data.
  bool end_chunk();
  bool pass_chunk();
  std::span<const std::uint8_t> take_data(std::size_t most);
  bool read_header();
  // Reads a chunk before the pixels; false when it is not plain.
  bool take_note();

  ScanFile file_;
  std::uint64_t at_ = 0;              // file offset of the next read
  std::vector<std::uint8_t> window_;  // read-ahead buffer
  std::size_t from_ = 0;              // first unused byte in it
  std::size_t to_ = 0;
  std::vector<std::uint8_t> joined_;  // data of small chunks
  Chunk chunk_;
  bool wrong_ = false;
  StoredSize size_;
  bool says_more_ = false;
  std::array<double, 2> density_px_per_mm_{};
  std::set<std::uint32_t> noted_;  // chunk types met that may occur once
  int texts_ = 0;
};

}  // namespace scrapetrace::scan
