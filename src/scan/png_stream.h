#pragma once
// The compressed pixels of a PNG: its chunks one after the other, every one held against its checksum (PNG
// Specification, third edition, W3C Recommendation, clauses 5 and 11).

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
  // Goes on to the first chunk of pixels. `file` is read while this lives, by places of its own.
  explicit PngStream(const ScanFile& file);

  // Of pictures of grey or RGB samples of 8 or 16 bits, not interlaced, without transparency; of others, and
  // of files that are damaged up to there, no width.
  [[nodiscard]] const StoredSize& size() const { return size_; }
  // Before the pixels there is a chunk that libvips might make something of: a colour profile, Exif, a
  // palette.
  [[nodiscard]] bool says_more() const { return says_more_; }
  // Across and along, of its chunk for that; 0: none.
  [[nodiscard]] const std::array<double, 2>& density_px_per_mm() const { return density_px_per_mm_; }
  // The next bytes of the pixels' one compressed stream, good until the next call. None after the last of
  // them, and none when something is wrong.
  std::span<const std::uint8_t> more();
  // Reads on to the end: whether everything is right, and nothing is left of the pixels.
  bool ends_well();

 private:
  struct Chunk {
    std::uint32_t type = 0;
    std::size_t left = 0;   // bytes of its data
    std::uint32_t sum = 0;  // of what was read of it
  };
  bool fill(std::size_t wanted);
  std::uint32_t take_number();
  bool begin_chunk();
  // After its data.
  bool end_chunk();
  bool pass_chunk();
  std::span<const std::uint8_t> take_data(std::size_t most);
  bool read_header();
  // Of a chunk before the pixels, whose data are still to come: whether they are plain, and what they say.
  bool take_note();

  ScanFile file_;
  std::uint64_t at_ = 0;              // where the file is read next
  std::vector<std::uint8_t> window_;  // read ahead
  std::size_t from_ = 0;              // of it, what is still to be used
  std::size_t to_ = 0;
  std::vector<std::uint8_t> joined_;  // data of small chunks
  Chunk chunk_;
  bool wrong_ = false;
  StoredSize size_;
  bool says_more_ = false;
  std::array<double, 2> density_px_per_mm_{};
  std::set<std::uint32_t> noted_;  // types of chunks that may come once
  int texts_ = 0;
};

}  // namespace scrapetrace::scan
