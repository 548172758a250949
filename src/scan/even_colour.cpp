#include "scan/even_colour.h"

#include <array>

namespace scrapetrace::scan {

namespace {

constexpr std::array<double, 5> kBinomial{1, 4, 6, 4, 1};
constexpr std::array<double, 3> kLuminance{0.299, 0.587, 0.114};

// Every band the luminance, times `factor`; with the image itself if `with_image`.
Image recombined(VipsImage* in, double factor, bool with_image) {
  std::array<double, 9> matrix{};
  for (std::size_t row = 0; row < 3; ++row) {
    for (std::size_t c = 0; c < 3; ++c)
      matrix[3 * row + c] = factor * kLuminance[c] + (with_image && row == c ? 1 : 0);
  }
  const Image weights(vips_image_new_matrix_from_array(3, 3, matrix.data(), 9));
  VipsImage* out = nullptr;
  if (!weights || vips_recomb(in, &out, weights.get(), nullptr) != 0) return nullptr;
  return Image(out);
}

bool filter(Image& image, int width, int height) {
  const Image mask(vips_image_new_matrix_from_array(width, height, kBinomial.data(), 5));
  if (!mask) return false;
  vips_image_set_double(mask.get(), "scale", 16);
  return apply(image, [&](VipsImage* in, VipsImage** out) {
    return vips_conv(in, out, mask.get(), "precision", VIPS_PRECISION_INTEGER, nullptr);
  });
}

}  // namespace

bool even_colour(Image& image, const JpegHeader& header) {
  const auto& [across, along] = header.thinned;
  if (!(across || along) || image->BandFmt != VIPS_FORMAT_UCHAR || vips_image_get_bands(image.get()) != 3)
    return true;
  Image blunt(image.get());
  g_object_ref(blunt.get());
  if ((across && !filter(blunt, 5, 1)) || (along && !filter(blunt, 1, 5))) return false;
  const Image colour = recombined(image.get(), -1, true);
  const Image luminance = recombined(blunt.get(), 1, false);
  if (!colour || !luminance) return false;
  VipsImage* sum = nullptr;
  if (vips_add(colour.get(), luminance.get(), &sum, nullptr) != 0) return false;
  Image evened(sum);
  const auto whole = [](VipsImage* in, VipsImage** out) { return vips_rint(in, out, nullptr); };
  const auto bytes = [](VipsImage* in, VipsImage** out) { return vips_cast_uchar(in, out, nullptr); };
  if (!apply(evened, whole) || !apply(evened, bytes)) return false;
  image = std::move(evened);
  return true;
}

}  // namespace scrapetrace::scan
