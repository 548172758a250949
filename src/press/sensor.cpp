#include "press/sensor.h"

#include <algorithm>
#include <cstring>

#include "press/random.h"

namespace scrapetrace::press {

namespace {

constexpr unsigned kBitsPerDeviate = 12;

// Each line affects the part of a column that it covers.
std::vector<float> column_gains(const std::vector<ScannerLine>& lines, int width_px) {
  if (lines.empty()) return {};
  std::vector<float> gain(static_cast<std::size_t>(width_px), 1.0F);
  for (const auto& line : lines) {
    const double from = line.column_fraction * width_px - line.width_px / 2;
    const double to = from + line.width_px;
    for (int u = 0; u < width_px; ++u) {
      const double covered = std::clamp(std::min(to, u + 1.0) - std::max(from, double(u)), 0.0, 1.0);
      gain[static_cast<std::size_t>(u)] *= static_cast<float>(1 + (line.gain - 1) * covered);
    }
  }
  return gain;
}

}  // namespace

Sensor::Sensor(const ScanOptions& scan, const std::vector<ScannerLine>& lines, int width_px)
    : width_px_(width_px),
      channels_(scan.grey ? 1 : 3),
      bits_(scan.bits),
      noise_(static_cast<float>(scan.noise * (scan.bits == 16 ? 257 : 1))),
      seed_(scan.scan_seed),
      gain_(column_gains(lines, width_px)) {}

template <class Code>
void Sensor::write(int v, const float* linear, std::uint8_t* codes) const {
  constexpr float full = sizeof(Code) == 1 ? 255.0F : 65535.0F;
  const auto& normal = normal_table();
  const std::uint64_t row_key = key(seed_, Stream::noise, static_cast<std::uint64_t>(v));
  for (int u = 0; u < width_px_; ++u) {
    std::uint64_t draw = mix(row_key + static_cast<std::uint64_t>(u));
    for (int c = 0; c < channels_; ++c, ++linear, codes += sizeof(Code)) {
      const float deviate = normal[draw & 4095];
      draw >>= kBitsPerDeviate;
      const float code = std::clamp(full * srgb_(*linear) + noise_ * deviate + 0.5F, 0.0F, full);
      const auto rounded = static_cast<Code>(code);
      std::memcpy(codes, &rounded, sizeof(Code));
    }
  }
}

void Sensor::encode(int v, float* linear, std::uint8_t* codes) const {
  const auto width = static_cast<std::size_t>(width_px_);
  for (std::size_t u = 0; u < gain_.size(); ++u) {
    for (std::size_t c = 0; c < 3; ++c) linear[3 * u + c] *= gain_[u];
  }
  if (channels_ == 1) {  // luminance: the second row of the matrix of IEC 61966-2-1
    for (std::size_t u = 0; u < width; ++u) {
      linear[u] = 0.2126F * linear[3 * u] + 0.7152F * linear[3 * u + 1] + 0.0722F * linear[3 * u + 2];
    }
  }
  if (bits_ == 16) {
    write<std::uint16_t>(v, linear, codes);
  } else {
    write<std::uint8_t>(v, linear, codes);
  }
}

}  // namespace scrapetrace::press
