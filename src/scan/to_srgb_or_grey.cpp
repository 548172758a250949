#include "scan/to_srgb_or_grey.h"

#include "scan/srgb_profile.h"

namespace scrapetrace::scan {

namespace {

bool is_deep(const Image& image) {
  return image->BandFmt == VIPS_FORMAT_USHORT;
}

// Colour bands without alpha.
int colours_of(const Image& image) {
  return vips_image_get_bands(image.get()) - (vips_image_hasalpha(image.get()) != 0 ? 1 : 0);
}

bool is_plain(const Image& image) {
  switch (vips_image_get_interpretation(image.get())) {
    case VIPS_INTERPRETATION_sRGB:
    case VIPS_INTERPRETATION_B_W:
    case VIPS_INTERPRETATION_RGB16:
    case VIPS_INTERPRETATION_GREY16:
      return true;
    case VIPS_INTERPRETATION_MULTIBAND:
    case VIPS_INTERPRETATION_RGB:
      return colours_of(image) == 1 || colours_of(image) == 3;
    default:
      return false;
  }
}

int bits_of(const Image& image) {
  return is_deep(image) ? 16 : 8;
}

bool through_profile(Image& image, const char* profile) {
  return apply(image, [&](VipsImage* in, VipsImage** out) {
    return vips_icc_transform(in, out, "srgb", "input_profile", profile, "depth", bits_of(image), nullptr);
  });
}

bool convert(Image& image, std::vector<std::string>& notes) {
  const bool grey = colours_of(image) == 1;
  if (vips_image_get_typeof(image.get(), VIPS_META_ICC_NAME) != 0) {
    const bool is_8_bit_rgb = vips_image_get_interpretation(image.get()) == VIPS_INTERPRETATION_sRGB &&
                              image->BandFmt == VIPS_FORMAT_UCHAR && !grey;
    if (is_8_bit_rgb && has_srgb_profile(image.get())) return true;
    if (to_srgb_by_own_profile(image, bits_of(image))) {
      // A grey profile yields three equal bands.
      return !grey || colours_of(image) == 1 || apply(image, [](VipsImage* in, VipsImage** out) {
        return vips_extract_band(in, out, 0, nullptr);
      });
    }
    vips_error_clear();
    notes.emplace_back("the file's colour profile cannot be used and was left aside");
  }
  if (vips_image_get_interpretation(image.get()) == VIPS_INTERPRETATION_CMYK) {
    notes.emplace_back("the colours are CMYK without a profile: a common press profile was assumed");
    return through_profile(image, "cmyk");
  }
  if (is_plain(image)) {
    notes.emplace_back(kTakenAsSrgb);
    return true;
  }
  const auto space = grey ? VIPS_INTERPRETATION_B_W
                          : (is_deep(image) ? VIPS_INTERPRETATION_RGB16 : VIPS_INTERPRETATION_sRGB);
  return apply(image,
               [&](VipsImage* in, VipsImage** out) { return vips_colourspace(in, out, space, nullptr); });
}

bool lay_on_white(Image& image) {
  if (vips_image_hasalpha(image.get()) == 0) return true;
  const double full = is_deep(image) ? 65535.0 : 255.0;
  VipsArrayDouble* white = vips_array_double_newv(1, full);
  const bool done = apply(image, [&](VipsImage* in, VipsImage** out) {
    return vips_flatten(in, out, "background", white, "max_alpha", full, nullptr);
  });
  vips_area_unref(VIPS_AREA(white));
  return done;
}

}  // namespace

bool to_srgb_or_grey(Image& image, std::vector<std::string>& notes) {
  const bool whole_numbers = image->BandFmt == VIPS_FORMAT_UCHAR || is_deep(image);
  const bool measured = vips_image_get_interpretation(image.get()) == VIPS_INTERPRETATION_LAB ||
                        vips_image_get_interpretation(image.get()) == VIPS_INTERPRETATION_LABS;
  if (!whole_numbers && !measured) {
    vips_error("colour", "its samples are %s, not whole numbers of 8 or 16 bits",
               vips_enum_nick(VIPS_TYPE_BAND_FORMAT, image->BandFmt));
    return false;
  }
  if (!convert(image, notes) || !lay_on_white(image)) return false;
  if (image->BandFmt == VIPS_FORMAT_UCHAR || is_deep(image)) return true;
  return apply(image, [](VipsImage* in, VipsImage** out) { return vips_cast_uchar(in, out, nullptr); });
}

}  // namespace scrapetrace::scan
