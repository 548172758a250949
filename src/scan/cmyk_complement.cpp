#include "scan/cmyk_complement.h"

#include <algorithm>
#include <array>
#include <cstdint>

#include "scan/row_feed.h"

namespace scrapetrace::scan {

namespace {

constexpr int kRowsPerLook = 16;
constexpr int kLookedAtRow = 8;
constexpr double kSome = 0.1;     // of full ink: above coding noise
constexpr double kDark = 0.6;     // of all three colours: any press adds black from here on
constexpr double kBlack = 0.5;    // of black: below, a press still prints colours
constexpr double kShare = 0.001;  // of the pixels: fewer decide nothing
constexpr double kMixed = 0.02;   // of those pixels: overshoots at edges

struct Inks {
  double all = 0;
  double dark = 0;          // three strong colours, with or without black
  double dark_bare = 0;     // of these, those without black
  double black = 0;         // strong black, with or without colours
  double black_single = 0;  // of these, those that lack a colour
};

template <class Sample>
void count(const Sample* row, int width, Inks& inks) {
  const double full = sizeof(Sample) == 1 ? 255.0 : 65535.0;
  for (int u = 0; u < width; ++u, row += 4) {
    const double least = std::min({row[0], row[1], row[2]}) / full;
    const double black = row[3] / full;
    inks.all += 1;
    if (least > kDark) {
      inks.dark += 1;
      if (black < kSome) inks.dark_bare += 1;
    }
    if (black > kBlack) {
      inks.black += 1;
      if (least < kSome) inks.black_single += 1;
    }
  }
}

bool nearly_all(double part, double whole) {
  return part >= (1 - kMixed) * whole;
}

// If both kinds of dark pixels occur, both must look like a complement.
bool complements(const Inks& inks) {
  if (inks.all <= 0 || inks.dark + inks.black < kShare * inks.all) return false;
  return nearly_all(inks.dark_bare, inks.dark) && nearly_all(inks.black_single, inks.black);
}

Image band_of(VipsImage* image, int band) {
  VipsImage* out = nullptr;
  vips_extract_band(image, &out, band, nullptr);
  return Image(out);
}

// (1 - ink)(1 - black), in the picture's integer range.
Image light_of(VipsImage* not_ink, VipsImage* not_black, double full) {
  VipsImage* product = nullptr;
  if (vips_multiply(not_ink, not_black, &product, nullptr) != 0) return nullptr;
  Image light(product);
  const bool scaled = apply(
      light, [&](VipsImage* in, VipsImage** out) { return vips_linear1(in, out, 1 / full, 0.5, nullptr); });
  return scaled ? std::move(light) : nullptr;
}

Image rgb_of(VipsImage* cmyk) {
  const bool deep = cmyk->BandFmt == VIPS_FORMAT_USHORT;
  VipsImage* inverted = nullptr;
  if (vips_invert(cmyk, &inverted, nullptr) != 0) return nullptr;
  Image image(inverted);
  std::array<Image, 4> bands;
  for (std::size_t b = 0; b < bands.size(); ++b) {
    bands[b] = band_of(image.get(), static_cast<int>(b));
    if (!bands[b]) return nullptr;
  }
  std::array<VipsImage*, 3> light{};
  for (std::size_t b = 0; b < light.size(); ++b) {
    bands[b] = light_of(bands[b].get(), bands[3].get(), deep ? 65535 : 255);
    if (!bands[b]) return nullptr;
    light[b] = bands[b].get();
  }
  VipsImage* joined = nullptr;
  if (vips_bandjoin(light.data(), &joined, static_cast<int>(light.size()), nullptr) != 0) return nullptr;
  image.reset(joined);
  const auto whole = [&](VipsImage* in, VipsImage** out) {
    return vips_cast(in, out, deep ? VIPS_FORMAT_USHORT : VIPS_FORMAT_UCHAR, nullptr);
  };
  const auto named = [&](VipsImage* in, VipsImage** out) {
    return vips_copy(in, out, "interpretation", deep ? VIPS_INTERPRETATION_RGB16 : VIPS_INTERPRETATION_sRGB,
                     nullptr);
  };
  return apply(image, whole) && apply(image, named) ? std::move(image) : nullptr;
}

}  // namespace

bool is_bare_cmyk(VipsImage* image) {
  return vips_image_get_interpretation(image) == VIPS_INTERPRETATION_CMYK &&
         vips_image_get_bands(image) == 4 && vips_image_get_typeof(image, VIPS_META_ICC_NAME) == 0 &&
         (image->BandFmt == VIPS_FORMAT_UCHAR || image->BandFmt == VIPS_FORMAT_USHORT);
}

bool is_complement(VipsImage* image) {
  Inks inks;
  int seen = 0;
  const int width = vips_image_get_width(image);
  const bool deep = image->BandFmt == VIPS_FORMAT_USHORT;
  const bool read = feed_rows(image, kRowsPerLook, [&](const Rows& rows) {
    for (int r = 0; r < rows.count; ++r) {
      if (seen++ % kLookedAtRow != 0) continue;
      deep ? count(rows.row<std::uint16_t>(r), width, inks) : count(rows.row<std::uint8_t>(r), width, inks);
    }
  });
  if (!read) vips_error_clear();  // the real reading will report it
  return read && complements(inks);
}

void undo_complement(Image& image, std::vector<std::string>& notes) {
  if (auto light = image ? rgb_of(image.get()) : nullptr) {
    image = std::move(light);
    notes.emplace_back(
        "the colours are CMYK without a profile, mere complements of RGB: they were turned back");
  }
  vips_error_clear();
}

}  // namespace scrapetrace::scan
