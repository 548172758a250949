#include "scan/resolution_tags.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <utility>

namespace scrapetrace::scan {

namespace {

constexpr double kSame = 0.01;  // relative; tags are rounded to whole dots per inch or centimetre

std::string text_field(VipsImage* image, const char* name) {
  const char* text = nullptr;
  if (vips_image_get_typeof(image, name) == 0 || vips_image_get_string(image, name, &text) != 0) return {};
  return text == nullptr ? "" : text;
}

// libvips writes an Exif rational as "300/1 (300, Rational, ...)".
double exif_rational(VipsImage* image, const char* name) {
  const std::string text = text_field(image, name);
  const auto slash = text.find('/');
  if (slash == std::string::npos) return 0;
  const double below = std::strtod(text.c_str() + slash + 1, nullptr);
  return below > 0 ? std::strtod(text.c_str(), nullptr) / below : 0;
}

// Exif 2.32, tag 0x0128: 2 inch, 3 centimetre.
double exif_px_per_mm(VipsImage* image, const char* name) {
  const int unit = std::atoi(text_field(image, "exif-ifd0-ResolutionUnit").c_str());
  return exif_rational(image, name) / (unit == 3 ? 10.0 : 25.4);
}

std::string rounded(double dpi) {
  return std::to_string(std::lround(dpi));
}

bool same(double a, double b) {
  return std::abs(a - b) <= kSame * std::max(a, b);
}

ResolutionTags believed(const std::array<double, 2>& px_per_mm) {
  return {believable_dpi(px_per_mm[0]), believable_dpi(px_per_mm[1]), {}};
}

// A resolution in one direction alone is not believed.
ResolutionTags both_or_none(ResolutionTags tags) {
  if (tags.across <= 0 || tags.along <= 0) tags.across = tags.along = 0;
  if (tags.across > 0 && tags.conflict.empty() && !same(tags.across, tags.along)) {
    tags.conflict =
        "its tags say " + rounded(tags.across) + " dpi one way and " + rounded(tags.along) + " dpi the other";
  }
  return tags;
}

ResolutionTags from_exif(VipsImage* image) {
  return believed(
      {exif_px_per_mm(image, "exif-ifd0-XResolution"), exif_px_per_mm(image, "exif-ifd0-YResolution")});
}

ResolutionTags either(const ResolutionTags& exif, const ResolutionTags& jfif) {
  if (exif.across > 0 && jfif.across > 0 && !same(exif.across, jfif.across)) {
    return {0, 0,
            "its Exif data say " + rounded(exif.across) + " dpi and its JFIF header says " +
                rounded(jfif.across) + " dpi"};
  }
  return exif.across > 0 ? exif : jfif;
}

ResolutionTags of_jpeg(VipsImage* image, const JpegHeader* jpeg) {
  return either(from_exif(image), jpeg != nullptr ? believed(jpeg->density_px_per_mm) : ResolutionTags{});
}

ResolutionTags of_header(VipsImage* image) {
  return believed({image->Xres, image->Yres});
}

}  // namespace

ResolutionTags read_resolution(VipsImage* image, Format format, const JpegHeader* jpeg) {
  ResolutionTags tags;
  switch (format) {
    case Format::tiff:
      // Without a unit the numbers mean nothing; libvips then omits this field.
      if (!text_field(image, VIPS_META_RESOLUTION_UNIT).empty()) tags = of_header(image);
      break;
    case Format::png:
      tags = of_header(image);
      break;
    case Format::jpeg:
      tags = of_jpeg(image, jpeg);
      break;
    case Format::webp:
    case Format::heif:
      tags = from_exif(image);
      break;
    case Format::pdf:
      break;  // the PDF page gives it
  }
  return both_or_none(std::move(tags));
}

ResolutionTags jpeg_tags(const std::array<double, 2>& exif_px_per_mm,
                         const std::array<double, 2>& jfif_px_per_mm) {
  return both_or_none(either(believed(exif_px_per_mm), believed(jfif_px_per_mm)));
}

ResolutionTags believable_tags(const std::array<double, 2>& px_per_mm) {
  return both_or_none(believed(px_per_mm));
}

}  // namespace scrapetrace::scan
