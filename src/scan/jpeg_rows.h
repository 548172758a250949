#pragma once
// The rows of a JPEG from its top, or from further down: what lies above is then read, but not made pixels.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string_view>

#include "scan/page_sums.h"
#include "scan/scan_file.h"

namespace scrapetrace::scan {

// A file, or bytes in memory; either outlives whoever reads it.
struct JpegSource {
  const ScanFile* file = nullptr;
  std::string_view bytes;
};

class JpegRows {
 public:
  // Reads the header. Files are read by places of its own: several may read one at the same time.
  explicit JpegRows(const JpegSource& source);
  JpegRows(const JpegRows&) = delete;
  JpegRows& operator=(const JpegRows&) = delete;
  ~JpegRows();

  // Of pictures of grey, or of three components that make RGB, of 8 bits, in one scan that is not
  // progressive; of others, and of damaged ones, no width.
  [[nodiscard]] StoredSize size() const;
  // False when libjpeg fails or so much as warns, here and from then on: it would fill gaps with something.
  bool skip(int rows);
  bool read(std::uint8_t* to, std::size_t stride, int rows);

 private:
  struct State;
  bool start();

  std::unique_ptr<State> state_;
};

}  // namespace scrapetrace::scan
