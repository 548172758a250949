#pragma once
// Small machines and pages whose pixels can be worked out by hand: columns, raster rows and, unless a test
// says otherwise, scan pixels are all 0.1 mm, and nothing is random.

#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <vector>

#include "base/srgb.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::testing {

constexpr double kPx_mm = 0.1;
constexpr int kWidth_px = 400;
constexpr int kHeight_px = 120;

// Two carriages with one head each, meeting at a seam, pitch 4; 40 mm of sheet lie over drum X 5 to 45 mm.
inline Layout small_machine() {
  Layout layout;
  layout.name = "small machine";
  layout.drum = {50, 60};
  layout.raster = {254, 254};
  layout.interleave = {4, {0, 5, 10, 15}};
  layout.transfer = {false, 1.0, 5.0};
  layout.inks = {{"cyan", {1.1, 0.3, 0.1}}, {"magenta", {0.2, 1.2, 0.4}}, {"yellow", {0.05, 0.1, 1.0}}};
  layout.carriages = {{"high", 30, 0, 1}, {"low", 80, 0, 1}};
  layout.heads = {{"1", 0, 10, 70, false}, {"2", 1, 250, 64, false}};
  layout.zones = {{"faceplate", Side::left, -1, 1, 1, 4}, {"faceplate", Side::right, -1, 1, 1, 4}};
  return layout;
}

inline Chart sheet_with(std::vector<Patch> patches) {
  return {"test", {40, 12}, std::move(patches), {}};
}
inline Patch all_over(std::vector<std::string> inks, double coverage = 1) {
  return {std::move(inks), {-1, 41}, {-1, 13}, coverage};
}

inline PrintOptions even_print() {
  PrintOptions print;
  print.jet_variation = 0;
  print.mottle = 0;
  print.grain = 0;
  print.paper_white = 0.8;
  return print;
}

inline ScanOptions sharp_scan() {
  ScanOptions scan;
  scan.dpi = 254;
  scan.blur_px = 0;
  scan.noise = 0;
  scan.margin_mm = 0;
  scan.bits = 16;
  return scan;
}

// A rendered page that is read in linear light and in density over paper.
class Page {
 public:
  Page(const Layout& layout, const Chart& chart, const Causes& causes, const PrintOptions& print,
       const ScanOptions& scan)
      : white_(print.paper_white) {
    auto result = simulate_scan(layout, chart, causes, print, scan);
    if (!result) {
      ADD_FAILURE() << result.problems()[0].what;
      return;
    }
    image = std::move(result).value();
  }

  [[nodiscard]] double code(int u, int v, int channel) const {
    const auto sample = (static_cast<std::size_t>(v) * static_cast<std::size_t>(image.width_px) +
                         static_cast<std::size_t>(u)) *
                            static_cast<std::size_t>(image.channels) +
                        static_cast<std::size_t>(channel);
    if (image.bits == 8) return image.pixels[sample];
    std::uint16_t value = 0;
    std::memcpy(&value, &image.pixels[2 * sample], 2);
    return value;
  }
  [[nodiscard]] double linear(int u, int v, int channel) const {
    return linear_from_srgb(code(u, v, channel) / (image.bits == 8 ? 255.0 : 65535.0));
  }
  [[nodiscard]] double density(int u, int v, int channel) const {
    return std::log10(white_ / linear(u, v, channel));
  }

  SimulatedScan image;

 private:
  double white_;
};

// What 16-bit sRGB code leaves of a density below 1.5 over paper.
constexpr double kCoding_density = 4e-4;
constexpr double kCoding_linear = 2e-5;

struct Moments {
  double mean = 0;
  double sd = 0;
};

inline Moments moments(const std::vector<double>& values) {
  double sum = 0;
  for (const double v : values) sum += v;
  const double mean = sum / static_cast<double>(values.size());
  double squares = 0;
  for (const double v : values) squares += (v - mean) * (v - mean);
  return {mean, std::sqrt(squares / static_cast<double>(values.size() - 1))};
}

}  // namespace scrapetrace::testing
