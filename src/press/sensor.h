#pragma once
// From blurred light to codes of a raw scan row: scanner lines, grey, sRGB, noise, rounding.

#include <cstdint>
#include <vector>

#include "press/tone.h"
#include "scrapetrace/causes.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

class Sensor {
 public:
  Sensor(const ScanOptions& scan, const std::vector<ScannerLine>& lines, int width_px);
  [[nodiscard]] int bytes_per_px() const { return channels_ * (bits_ / 8); }
  [[nodiscard]] int channels() const { return channels_; }
  // `linear` holds three floats per pixel and is overwritten; `codes` receives a row of bytes.
  void encode(int v, float* linear, std::uint8_t* codes) const;

 private:
  template <class Code>
  void write(int v, const float* linear, std::uint8_t* codes) const;

  int width_px_;
  int channels_;
  int bits_;
  float noise_;  // in codes of `bits_`
  std::uint64_t seed_;
  std::vector<float> gain_;  // per column; empty: no lines
  SrgbCode srgb_;
};

}  // namespace scrapetrace::press
