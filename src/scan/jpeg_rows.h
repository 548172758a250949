#pragma once
// The rows of a JPEG, from the top or after skipping rows without decoding them fully.

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string_view>

#include "scan/page_sums.h"
#include "scan/scan_file.h"

namespace scrapetrace::scan {

// A file, or bytes in memory; must outlive its reader.
struct JpegSource {
  const ScanFile* file = nullptr;
  std::string_view bytes;
};

class JpegRows {
 public:
  // Reads the header. Uses file offsets of its own, so several readers may share a file.
  explicit JpegRows(const JpegSource& source);
  JpegRows(const JpegRows&) = delete;
  JpegRows& operator=(const JpegRows&) = delete;
  ~JpegRows();

  // Zero width for pictures it does not take: damaged, progressive or multi-scan, not 8-bit, neither grey nor
  // RGB.
  [[nodiscard]] StoredSize size() const;
  // False when libjpeg fails or warns, now or before: it would fill gaps with invented pixels.
  bool skip(int rows);
  bool read(std::uint8_t* to, std::size_t stride, int rows);

 private:
  struct State;
  bool start();

  std::unique_ptr<State> state_;
};

}  // namespace scrapetrace::scan
