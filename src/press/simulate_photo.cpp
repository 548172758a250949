#include <algorithm>
#include <cmath>
#include <memory>

#include "base/srgb.h"
#include "press/bands.h"
#include "press/blur.h"
#include "press/camera.h"
#include "press/range_check.h"
#include "press/sensor.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace {

namespace {

using namespace press;

constexpr double kFiner = 1.6;  // rendered print pixels per picture pixel
constexpr int kPlaces = 3;      // samples per pixel and direction
constexpr int kRowsAtOnce = 64;

Problems check(const CameraOptions& o) {
  RangeCheck range;
  range.within("the photo's width_px", o.width_px, 100, 12000);
  range.within("the photo's height_px", o.height_px, 100, 12000);
  range.within("the photo's tilt_deg", o.tilt_deg, 0, 60);
  range.within("the photo's tilt_towards_deg", o.tilt_towards_deg, -360, 360);
  range.within("the photo's roll_deg", o.roll_deg, -360, 360);
  range.within("the photo's view_deg", o.view_deg, 10, 110);
  range.within("the photo's fill", o.fill, 0.2, 3);
  range.within("the photo's k1", o.k1, -0.2, 0.2);
  range.within("the photo's k2", o.k2, -0.05, 0.05);
  range.within("the photo's fall_off", o.fall_off, 0, 0.9);
  range.within("the photo's light_from_deg", o.light_from_deg, -360, 360);
  range.within("the photo's table", o.table, 0, 1);
  range.within("the photo's blur_px", o.blur_px, 0, 20);
  range.within("the photo's noise", o.noise, 0, 64);
  return range.take();
}

// The print as fine, sharp pixels of linear light.
class Print {
 public:
  Print(SimulatedScan scan, double margin_mm) : scan_(std::move(scan)), margin_mm_(margin_mm) {
    for (std::size_t i = 0; i < linear_of_.size(); ++i)
      linear_of_[i] = static_cast<float>(linear_from_srgb(static_cast<double>(i) / 65535));
  }
  // Adds the light at a place of the sheet, or of the table outside it.
  void add(Point sheet_mm, float table, float* out) const {
    const double u = (sheet_mm.x + margin_mm_) * scan_.dpi / 25.4 - 0.5;
    const double v = (sheet_mm.y + margin_mm_) * scan_.dpi / 25.4 - 0.5;
    if (!(u >= 0 && v >= 0 && u < scan_.width_px - 1 && v < scan_.height_px - 1)) {
      for (int c = 0; c < 3; ++c) out[c] += table;
      return;
    }
    const auto i = static_cast<std::size_t>(u);
    const auto j = static_cast<std::size_t>(v);
    const auto s = static_cast<float>(u - static_cast<double>(i));
    const auto t = static_cast<float>(v - static_cast<double>(j));
    const std::uint16_t* p = codes() + 3 * (j * static_cast<std::size_t>(scan_.width_px) + i);
    const std::uint16_t* q = p + 3 * static_cast<std::size_t>(scan_.width_px);
    for (int c = 0; c < 3; ++c) {
      out[c] += (1 - t) * ((1 - s) * linear_of_[p[c]] + s * linear_of_[p[3 + c]]) +
                t * ((1 - s) * linear_of_[q[c]] + s * linear_of_[q[3 + c]]);
    }
  }

 private:
  [[nodiscard]] const std::uint16_t* codes() const {
    return reinterpret_cast<const std::uint16_t*>(scan_.pixels.data());
  }
  SimulatedScan scan_;
  double margin_mm_;
  std::vector<float> linear_of_ = std::vector<float>(65536);
};

// Light of picture row v, possibly outside the picture, for pixels [-radius, width + radius).
void take_row(const Print& print, const Camera& camera, const CameraOptions& options, int v, int radius,
              std::vector<float>& row) {
  row.assign(3 * static_cast<std::size_t>(options.width_px + 2 * radius), 0.0F);
  for (int u = -radius; u < options.width_px + radius; ++u) {
    float* out = row.data() + 3 * static_cast<std::size_t>(u + radius);
    for (int k = 0; k < kPlaces * kPlaces; ++k) {
      const int across = k % kPlaces;
      const int down = k / kPlaces;
      const Point at{u + (across + 0.5) / kPlaces, v + (down + 0.5) / kPlaces};
      print.add(camera.sheet_from_picture(at), static_cast<float>(options.table), out);
    }
    const auto gain = static_cast<float>(camera.light_at({u + 0.5, v + 0.5}) / (kPlaces * kPlaces));
    for (int c = 0; c < 3; ++c) out[c] *= gain;
  }
}

void take_rows(const Print& print, const Camera& camera, const CameraOptions& options, const Sensor& sensor,
               const Kernel& kernel, int from, int to, std::uint8_t* codes) {
  const int radius = kernel.radius;
  const std::size_t floats = 3 * static_cast<std::size_t>(options.width_px);
  std::vector<std::vector<float>> blurred;  // across
  std::vector<float> raw;
  std::vector<const float*> around(kernel.down.size());
  for (int v = from - radius; v < to + radius; ++v) {
    take_row(print, camera, options, v, radius, raw);
    for (std::size_t k = 0; k < around.size(); ++k) around[k] = raw.data() + 3 * k;
    weigh(kernel.down, around, floats, blurred.emplace_back(floats).data());
  }
  std::vector<float> light(floats);
  for (int v = from; v < to; ++v) {
    for (std::size_t k = 0; k < around.size(); ++k)
      around[k] = blurred[static_cast<std::size_t>(v - from) + k].data();
    weigh(kernel.down, around, floats, light.data());
    sensor.encode(v, light.data(), codes + static_cast<std::size_t>(v) * floats);
  }
}

}  // namespace

Result<SimulatedScan> simulate_photo(const Layout& layout, const Chart& chart, const Causes& causes,
                                     const PrintOptions& print, const ScanOptions& scan,
                                     const CameraOptions& options) {
  if (Problems problems = check(options); !problems.empty()) return problems;
  const Camera camera(chart.sheet_mm, options);
  ScanOptions fine = scan;
  fine.dpi = std::clamp(kFiner * 25.4 * camera.px_per_mm(), 100.0, 1200.0);
  fine.blur_px = 0.4;
  fine.noise = 0;
  fine.skew_deg = 0;
  fine.turn_deg = 0;
  fine.face_mirrored = false;
  fine.margin_mm = 0;
  fine.grey = false;
  fine.bits = 16;
  auto sheet = simulate_scan(layout, chart, causes, print, fine);
  if (!sheet) return sheet.problems();
  const auto flat = std::make_unique<Print>(std::move(sheet).value(), fine.margin_mm);

  ScanOptions sensor_options;
  sensor_options.noise = options.noise;
  sensor_options.scan_seed = scan.scan_seed;
  const Sensor sensor(sensor_options, {}, options.width_px);
  const Kernel kernel = gaussian_kernel(options.blur_px);
  SimulatedScan out;
  out.width_px = options.width_px;
  out.height_px = options.height_px;
  out.channels = 3;
  out.bits = 8;
  out.dpi = 72;  // what cameras write without a scale
  out.pixels.resize(3 * static_cast<std::size_t>(out.width_px) * static_cast<std::size_t>(out.height_px));
  for_each_band(out.height_px, scan.threads, [&](int from, int to) {
    for (int v = from; v < to; v += kRowsAtOnce)
      take_rows(*flat, camera, options, sensor, kernel, v, std::min(v + kRowsAtOnce, to), out.pixels.data());
  });
  return out;
}

}  // namespace scrapetrace
