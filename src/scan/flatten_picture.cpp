#include "scan/flatten_picture.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include "base/srgb.h"
#include "scan/block_sums.h"
#include "scan/overview_rows.h"
#include "scan/raster_plan.h"

namespace scrapetrace::scan {

namespace {

constexpr std::int64_t kMostPixels = 120'000'000;

// A decoded picture with places between its pixels.
class Picture {
 public:
  explicit Picture(const DecodedPicture& decoded)
      : width_(decoded.size.width_px),
        height_(decoded.size.height_px),
        bands_(static_cast<std::size_t>(decoded.size.bands)),
        bytes_(decoded.size.bytes),
        samples_(decoded.samples),
        linear_of_(bytes_ == 1 ? 256 : 65536) {
    for (std::size_t i = 0; i < linear_of_.size(); ++i) {
      linear_of_[i] = static_cast<float>(
          linear_from_srgb(static_cast<double>(i) / static_cast<double>(linear_of_.size() - 1)));
    }
  }
  [[nodiscard]] std::size_t bands() const { return bands_; }
  // Two pixels from the border, so that the interpolation has all it needs.
  [[nodiscard]] bool shows(const std::array<double, 2>& at_px) const {
    return at_px[0] > 2 && at_px[1] > 2 && at_px[0] < width_ - 2 && at_px[1] < height_ - 2;
  }

  // Linear light of every band at a place that it shows.
  void take(const std::array<double, 2>& at_px, float* out) const {
    const double u = at_px[0] - 0.5;
    const double v = at_px[1] - 0.5;
    const int i = static_cast<int>(std::floor(u));
    const int j = static_cast<int>(std::floor(v));
    const auto across = taps(static_cast<float>(u - i));
    const auto down = taps(static_cast<float>(v - j));
    std::fill(out, out + bands_, 0.0F);
    for (int b = 0; b < 4; ++b) {
      const std::size_t first = (static_cast<std::size_t>(j - 1 + b) * static_cast<std::size_t>(width_) +
                                 static_cast<std::size_t>(i - 1)) *
                                bands_;
      for (std::size_t a = 0; a < 4; ++a) {
        const float weight = across[a] * down[static_cast<std::size_t>(b)];
        for (std::size_t c = 0; c < bands_; ++c) out[c] += weight * value(first + a * bands_ + c);
      }
    }
  }

 private:
  [[nodiscard]] float value(std::size_t at) const {
    if (bytes_ == 1) return linear_of_[samples_[at]];
    return linear_of_[reinterpret_cast<const std::uint16_t*>(samples_)[at]];
  }
  // Weights of the pixels at -1, 0, 1 and 2 for a place `t` past pixel 0 (a = -1/2).
  static std::array<float, 4> taps(float t) {
    const float t2 = t * t;
    const float t3 = t2 * t;
    return {-0.5F * t3 + t2 - 0.5F * t, 1.5F * t3 - 2.5F * t2 + 1, -1.5F * t3 + 2 * t2 + 0.5F * t,
            0.5F * t3 - 0.5F * t2};
  }

  int width_;
  int height_;
  std::size_t bands_;
  int bytes_;
  const std::uint8_t* samples_;
  std::vector<float> linear_of_;
};

struct Frame {
  std::array<double, 2> x_mm{};
  std::array<double, 2> y_mm{};
};

// Part of a side of the frame that the picture does not show.
double hidden_part(const Picture& picture, const PhotoMap& map, const Frame& frame, std::size_t side) {
  constexpr int kPlaces = 60;
  int hidden = 0;
  for (int k = 0; k <= kPlaces; ++k) {
    const double t = static_cast<double>(k) / kPlaces;
    const double along_x = frame.x_mm[0] + t * (frame.x_mm[1] - frame.x_mm[0]);
    const double along_y = frame.y_mm[0] + t * (frame.y_mm[1] - frame.y_mm[0]);
    const auto at =
        side < 2 ? map.photo_px(frame.x_mm[side], along_y) : map.photo_px(along_x, frame.y_mm[side - 2]);
    if (!picture.shows(at)) ++hidden;
  }
  return static_cast<double>(hidden) / (kPlaces + 1);
}

// The sheet with its border, drawn in at the sides that the picture cuts until it shows all of it.
Frame shown_frame(const Picture& picture, const PhotoMap& map, const FlattenOptions& options) {
  const double b = options.border_mm;
  Frame frame{{-b, options.sheet_mm[0] + b}, {-b, options.sheet_mm[1] + b}};
  while (frame.x_mm[1] - frame.x_mm[0] > 10 && frame.y_mm[1] - frame.y_mm[0] > 10) {
    std::size_t worst = 0;
    double most = 0;
    for (std::size_t side = 0; side < 4; ++side) {
      const double hidden = hidden_part(picture, map, frame, side);
      if (hidden > most) most = hidden, worst = side;
    }
    if (most <= 0) return frame;
    auto& sides = worst < 2 ? frame.x_mm : frame.y_mm;
    sides[worst % 2] += worst % 2 == 0 ? 1.0 : -1.0;
  }
  return {};
}

// Pixels per millimetre where the photo shows the sheet largest.
double largest_scale(const PhotoMap& map, const Frame& frame) {
  double largest = 0;
  for (const double x : {frame.x_mm[0], 0.5 * (frame.x_mm[0] + frame.x_mm[1]), frame.x_mm[1]}) {
    for (const double y : {frame.y_mm[0], 0.5 * (frame.y_mm[0] + frame.y_mm[1]), frame.y_mm[1]}) {
      const auto at = map.photo_px(x, y);
      const auto right = map.photo_px(x + 1, y);
      const auto below = map.photo_px(x, y + 1);
      largest = std::max({largest, std::hypot(right[0] - at[0], right[1] - at[1]),
                          std::hypot(below[0] - at[0], below[1] - at[1])});
    }
  }
  return std::min(largest, kMostFlat_dpi / 25.4);
}

// 16-bit sRGB codes of 16-bit linear light.
std::vector<std::uint16_t> code_table() {
  std::vector<std::uint16_t> out(65536);
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] =
        static_cast<std::uint16_t>(std::lround(65535 * srgb_from_linear(static_cast<double>(i) / 65535)));
  return out;
}

PageRaster resample(const Picture& picture, const PhotoMap& map, const Frame& frame,
                    const FlattenOptions& options) {
  const double scale = largest_scale(map, frame);
  PageRaster page;
  page.width_px = static_cast<int>((frame.x_mm[1] - frame.x_mm[0]) * scale);
  page.height_px = static_cast<int>((frame.y_mm[1] - frame.y_mm[0]) * scale);
  page.tag_dpi_across = page.tag_dpi_along = 25.4 * scale;
  page.rows_per_block = std::clamp(static_cast<int>(std::lround(options.block_mm * scale)), 1, 64);
  page.flattening_sigma_mm = map.sigma_mm;
  const auto bands = static_cast<int>(picture.bands());
  BlockSums sums(page, bands, 2);
  OverviewRows overview(page.overview, page.width_px, page.height_px, bands, 2, {});
  std::vector<std::uint16_t> row(static_cast<std::size_t>(page.width_px) * picture.bands());
  const auto code_of = code_table();
  std::array<float, 3> light{};
  for (int v = 0; v < page.height_px; ++v) {
    for (int u = 0; u < page.width_px; ++u) {
      picture.take(map.photo_px(frame.x_mm[0] + (u + 0.5) / scale, frame.y_mm[0] + (v + 0.5) / scale),
                   light.data());
      for (std::size_t c = 0; c < picture.bands(); ++c) {
        const float full = std::clamp(light[c], 0.0F, 1.0F) * 65535.0F + 0.5F;
        row[static_cast<std::size_t>(u) * picture.bands() + c] = code_of[static_cast<std::size_t>(full)];
      }
    }
    sums.add_row(reinterpret_cast<const std::uint8_t*>(row.data()));
    overview.add_row(reinterpret_cast<const std::uint8_t*>(row.data()));
  }
  return page;
}

}  // namespace

std::string too_large_to_flatten(const StoredSize& size) {
  if (static_cast<std::int64_t>(size.width_px) * size.height_px <= kMostPixels) return {};
  return "is a photo of more than 120 million pixels; save it at a lower resolution";
}

std::optional<PageRaster> flatten_picture(const DecodedPicture& decoded, const PhotoMap& map,
                                          const FlattenOptions& options) {
  const Picture picture(decoded);
  const Frame frame = shown_frame(picture, map, options);
  if (frame.x_mm[1] - frame.x_mm[0] <= 10) return std::nullopt;
  return resample(picture, map, frame, options);
}

}  // namespace scrapetrace::scan
