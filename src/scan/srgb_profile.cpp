#include "scan/srgb_profile.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <vector>

namespace scrapetrace::scan {

namespace {

constexpr int kTriedStep = 15;  // of 255, in each colour
constexpr int kTried = 255 / kTriedStep + 1;
constexpr int kRoundingAlone = 1;  // of 255

// Samples of the whole colour cube, one per pixel.
std::vector<std::uint8_t> tried_colours() {
  std::vector<std::uint8_t> out;
  for (int red = 0; red < kTried; ++red) {
    for (int green = 0; green < kTried; ++green) {
      for (int blue = 0; blue < kTried; ++blue) {
        for (const int step : {red, green, blue}) out.push_back(static_cast<std::uint8_t>(step * kTriedStep));
      }
    }
  }
  return out;
}

// These colours as a picture with the profile of `other`; null when that fails.
Image with_profile_of(VipsImage* other, const std::vector<std::uint8_t>& colours) {
  const void* profile = nullptr;
  std::size_t size = 0;
  if (vips_image_get_blob(other, VIPS_META_ICC_NAME, &profile, &size) != 0) return nullptr;
  Image image(vips_image_new_from_memory(colours.data(), colours.size(), kTried * kTried, kTried, 3,
                                         VIPS_FORMAT_UCHAR));
  if (!image || !apply(image, [](VipsImage* in, VipsImage** out) {
        return vips_copy(in, out, "interpretation", VIPS_INTERPRETATION_sRGB, nullptr);
      }))
    return nullptr;
  vips_image_set_blob_copy(image.get(), VIPS_META_ICC_NAME, profile, size);
  return image;
}

}  // namespace

bool to_srgb_by_own_profile(Image& image, int bits) {
  return apply(image, [&](VipsImage* in, VipsImage** out) {
    return vips_icc_transform(in, out, "srgb", "embedded", TRUE, "depth", bits, nullptr);
  });
}

bool has_srgb_profile(VipsImage* image) {
  const std::vector<std::uint8_t> colours = tried_colours();
  Image converted = with_profile_of(image, colours);
  const bool done = converted && to_srgb_by_own_profile(converted, 8);
  std::size_t size = 0;
  auto* const bytes =
      done ? static_cast<std::uint8_t*>(vips_image_write_to_memory(converted.get(), &size)) : nullptr;
  vips_error_clear();
  bool same = bytes != nullptr && size == colours.size();
  for (std::size_t k = 0; same && k < size; ++k) same = std::abs(bytes[k] - colours[k]) <= kRoundingAlone;
  g_free(bytes);
  return same;
}

}  // namespace scrapetrace::scan
