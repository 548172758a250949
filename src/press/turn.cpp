#include "press/turn.h"

#include <algorithm>
#include <cstddef>
#include <cstring>
#include <utility>

namespace scrapetrace::press {

namespace {

// A block's rows and columns both fit in the L1 cache.
constexpr int kBlock = 32;

struct Place {
  int u = 0;
  int v = 0;
};

// The source of finished pixel (u, v).
Place source(const SimulatedScan& image, bool mirrored, int turn_deg, int u, int v) {
  Place p{u, v};
  if (turn_deg == 90) p = {v, image.height_px - 1 - u};
  if (turn_deg == 180) p = {image.width_px - 1 - u, image.height_px - 1 - v};
  if (turn_deg == 270) p = {image.width_px - 1 - v, u};
  if (mirrored) p.u = image.width_px - 1 - p.u;
  return p;
}

}  // namespace

SimulatedScan mirrored_then_turned(SimulatedScan image, bool mirrored, int turn_deg) {
  if (!mirrored && turn_deg == 0) return image;
  SimulatedScan out = image;
  if (turn_deg == 90 || turn_deg == 270) std::swap(out.width_px, out.height_px);
  const auto bytes = static_cast<std::size_t>(image.channels * image.bits / 8);
  for (int v0 = 0; v0 < out.height_px; v0 += kBlock) {
    for (int u0 = 0; u0 < out.width_px; u0 += kBlock) {
      for (int v = v0; v < std::min(v0 + kBlock, out.height_px); ++v) {
        for (int u = u0; u < std::min(u0 + kBlock, out.width_px); ++u) {
          const Place from = source(image, mirrored, turn_deg, u, v);
          const auto to_px = static_cast<std::size_t>(v) * static_cast<std::size_t>(out.width_px) +
                             static_cast<std::size_t>(u);
          const auto from_px = static_cast<std::size_t>(from.v) * static_cast<std::size_t>(image.width_px) +
                               static_cast<std::size_t>(from.u);
          std::memcpy(&out.pixels[to_px * bytes], &image.pixels[from_px * bytes], bytes);
        }
      }
    }
  }
  return out;
}

}  // namespace scrapetrace::press
