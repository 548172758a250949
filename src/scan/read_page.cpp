#include "scan/read_page.h"

#include <vips/vips.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <string_view>
#include <utility>

#include "scan/block_sums.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

constexpr int kRowsPerStrip = 64;
constexpr int kLargestSide_px = 200000;

struct Unref {
  void operator()(void* object) const { g_object_unref(object); }
};
using Image = std::unique_ptr<VipsImage, Unref>;
using Region = std::unique_ptr<VipsRegion, Unref>;

Problem problem(const std::string& path, std::string what) {
  return {path, 0, 0, std::move(what)};
}

// The first line of libvips' complaint, which belongs to the call just made; its buffer is emptied.
std::string complaint() {
  std::string text = vips_error_buffer();
  vips_error_clear();
  if (const auto end = text.find('\n'); end != std::string::npos) text.resize(end);
  return text.empty() ? "no reason given" : text;
}

// libvips opens drawings, documents and much else; what it draws of them has no resolution of its own.
bool is_scan_format(const std::string& path) {
  const char* loader = vips_foreign_find_load(path.c_str());
  const std::string_view name = loader == nullptr ? "" : loader;
  return name == "VipsForeignLoadTiffFile" || name == "VipsForeignLoadPngFile" ||
         name == "VipsForeignLoadJpegFile" || name == "VipsForeignLoadWebpFile";
}

Image open_sequential(const std::string& path) {
  return Image(vips_image_new_from_file(path.c_str(), "access", VIPS_ACCESS_SEQUENTIAL, "fail_on",
                                        VIPS_FAIL_ON_TRUNCATED, nullptr));
}

// Runs one vips operation that makes an image from an image.
template <class Operation>
bool apply(Image& image, Operation operation) {
  VipsImage* out = nullptr;
  if (operation(image.get(), &out) != 0) return false;
  image.reset(out);
  return true;
}

// To sRGB or grey, without alpha, 8 or 16 bits. False, with libvips' complaint set, when it cannot be done.
bool to_plain_colour(Image& image) {
  if (vips_image_get_typeof(image.get(), VIPS_META_ICC_NAME) != 0) {
    const bool deep = image->BandFmt == VIPS_FORMAT_USHORT;
    const bool grey = vips_image_get_bands(image.get()) < 3;
    if (!grey && !apply(image, [&](VipsImage* in, VipsImage** out) {
          return vips_icc_transform(in, out, "srgb", "embedded", TRUE, "depth", deep ? 16 : 8, nullptr);
        })) {
      return false;
    }
  }
  const auto kind = vips_image_get_interpretation(image.get());
  if (kind != VIPS_INTERPRETATION_sRGB && kind != VIPS_INTERPRETATION_B_W &&
      kind != VIPS_INTERPRETATION_RGB16 && kind != VIPS_INTERPRETATION_GREY16) {
    const auto space =
        vips_image_get_bands(image.get()) < 3 ? VIPS_INTERPRETATION_B_W : VIPS_INTERPRETATION_sRGB;
    if (!apply(image,
               [&](VipsImage* in, VipsImage** out) { return vips_colourspace(in, out, space, nullptr); })) {
      return false;
    }
  }
  if (vips_image_hasalpha(image.get()) != 0) {
    const double full = image->BandFmt == VIPS_FORMAT_USHORT ? 65535.0 : 255.0;
    VipsArrayDouble* white = vips_array_double_newv(1, full);
    const bool done = apply(image, [&](VipsImage* in, VipsImage** out) {
      return vips_flatten(in, out, "background", white, "max_alpha", full, nullptr);
    });
    vips_area_unref(VIPS_AREA(white));
    if (!done) return false;
  }
  if (image->BandFmt == VIPS_FORMAT_UCHAR || image->BandFmt == VIPS_FORMAT_USHORT) return true;
  return apply(image, [](VipsImage* in, VipsImage** out) { return vips_cast_uchar(in, out, nullptr); });
}

// Which way the image lies: across when the known sheet would be turned, or when it is wider than the drum.
bool lies_across(int width, int height, double dpi_across, const ReadOptions& options) {
  if (options.sheet_mm) {
    const double sheet = std::log((*options.sheet_mm)[1] / (*options.sheet_mm)[0]);
    const double seen = std::log(static_cast<double>(height) / width);
    return std::abs(seen - sheet) > std::abs(-seen - sheet) + 1e-9;
  }
  if (dpi_across > 0 && options.drum_width_mm > 0) {
    const double width_mm = 25.4 * width / dpi_across;
    const double height_mm = 25.4 * height / dpi_across;
    return width_mm > options.drum_width_mm + 10 && height_mm < options.drum_width_mm + 10;
  }
  return false;
}

int rows_per_block(const PageRaster& page, const ReadOptions& options) {
  double dpi = options.dpi > 0 ? options.dpi : page.tag_dpi_along;
  if (dpi <= 0 && options.sheet_mm) dpi = 25.4 * page.height_px / (*options.sheet_mm)[1];
  if (dpi <= 0) dpi = 300;
  return std::clamp(static_cast<int>(std::lround(options.block_mm * dpi / 25.4)), 1, 64);
}

// Exif orientation, 1 to 8; 1 when there is none.
int orientation_of(VipsImage* image) {
  int orientation = 1;
  if (vips_image_get_typeof(image, VIPS_META_ORIENTATION) != 0) {
    vips_image_get_int(image, VIPS_META_ORIENTATION, &orientation);
  }
  return orientation < 1 || orientation > 8 ? 1 : orientation;
}

// Turns an image whose tag says that it is not upright; needs the pixels out of order, so they are held.
bool turn_upright(const std::string& path, Image& image, int orientation) {
  if (orientation == 1) return true;
  image.reset(vips_image_new_from_file(path.c_str(), "fail_on", VIPS_FAIL_ON_TRUNCATED, nullptr));
  if (!image) return false;
  return apply(image, [](VipsImage* in, VipsImage** out) { return vips_autorot(in, out, nullptr); });
}

bool read_rows(VipsImage* image, BlockSums& sums) {
  Region region(vips_region_new(image));
  const int width = vips_image_get_width(image);
  const int height = vips_image_get_height(image);
  for (int top = 0; top < height; top += kRowsPerStrip) {
    const VipsRect strip{0, top, width, std::min(kRowsPerStrip, height - top)};
    if (vips_region_prepare(region.get(), &strip) != 0) return false;
    for (int y = top; y < top + strip.height; ++y) sums.add_row(VIPS_REGION_ADDR(region.get(), 0, y));
  }
  sums.finish();
  return true;
}

}  // namespace

double believable_dpi(double pixels_per_mm) {
  const double dpi = pixels_per_mm * 25.4;
  const bool placeholder = std::abs(dpi - 72) < 0.6 || std::abs(dpi - 25.4) < 0.01;
  return placeholder || !(dpi >= 60 && dpi <= 4900) ? 0 : dpi;
}

Result<PageRaster> read_page(const std::string& path, const ReadOptions& options) {
  start_vips();
  std::error_code error;
  if (!std::filesystem::exists(path, error)) return problem(path, "no such file; check the name");
  if (std::filesystem::is_directory(path, error))
    return problem(path, "is a folder; name the scan files in it");
  if (std::filesystem::file_size(path, error) == 0 && !error) {
    return problem(path, "the file is empty; scan or copy it again");
  }

  if (!is_scan_format(path)) {
    vips_error_clear();
    return problem(
        path,
        "is not a TIFF, PNG, JPEG or WebP image, or too little of one; save the scan as one of these, "
        "and copy it again if it was cut short");
  }
  Image image = open_sequential(path);
  const int orientation = image ? orientation_of(image.get()) : 1;
  if (!image || !turn_upright(path, image, orientation)) {
    return problem(path, "cannot be read as an image (" + complaint() +
                             "); give a TIFF, PNG, JPEG or WebP scan, and copy it again if it was cut short");
  }
  // libvips turns the pixels and leaves their resolution as it was.
  double tag_across = believable_dpi(image->Xres);
  double tag_along = believable_dpi(image->Yres);
  if (orientation > 4) std::swap(tag_across, tag_along);
  if (!to_plain_colour(image)) {
    return problem(
        path, "its colours cannot be converted to sRGB (" + complaint() + "); save it as an 8-bit sRGB scan");
  }
  const int width = vips_image_get_width(image.get());
  const int height = vips_image_get_height(image.get());
  if (width > kLargestSide_px || height > kLargestSide_px) {
    return problem(path, "is " + std::to_string(width) + " x " + std::to_string(height) + " px; at most " +
                             std::to_string(kLargestSide_px) +
                             " px a side are taken: scan at a lower resolution");
  }
  const int bands = vips_image_get_bands(image.get());
  if (bands != 1 && bands != 3) {
    return problem(path, "has " + std::to_string(bands) + " colour channels; grey or RGB is needed");
  }

  PageRaster page;
  page.transposed = lies_across(width, height, options.dpi > 0 ? options.dpi : tag_across, options);
  page.width_px = page.transposed ? height : width;
  page.height_px = page.transposed ? width : height;
  page.tag_dpi_across = page.transposed ? tag_along : tag_across;
  page.tag_dpi_along = page.transposed ? tag_across : tag_along;
  page.rows_per_block = rows_per_block(page, options);
  BlockSums sums(page, bands, image->BandFmt == VIPS_FORMAT_USHORT ? 2 : 1);
  if (!read_rows(image.get(), sums)) {
    return problem(path, "is damaged or cut short (" + complaint() + "); copy or scan it again");
  }
  return page;
}

}  // namespace scrapetrace::scan
