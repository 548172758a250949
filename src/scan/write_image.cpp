#include "scan/write_image.h"

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <memory>

#include "scan/vips_image.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

namespace fs = std::filesystem;

// Noise hardly compresses: more effort costs time and saves little.
constexpr int kPngEffort = 3;

enum class FileKind { tiff, png, jpeg, unknown };

FileKind format_of(const fs::path& path) {
  std::string suffix = path.extension().string();
  std::transform(suffix.begin(), suffix.end(), suffix.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  if (suffix == ".tif" || suffix == ".tiff") return FileKind::tiff;
  if (suffix == ".png") return FileKind::png;
  if (suffix == ".jpg" || suffix == ".jpeg") return FileKind::jpeg;
  return FileKind::unknown;
}

VipsInterpretation interpretation_of(const Pixels& pixels) {
  const bool grey = pixels.bands == 1;
  if (pixels.bits == 16) return grey ? VIPS_INTERPRETATION_GREY16 : VIPS_INTERPRETATION_RGB16;
  return grey ? VIPS_INTERPRETATION_B_W : VIPS_INTERPRETATION_sRGB;
}

// libvips stores pixels per millimetre for every format.
Image tagged_image(const Pixels& pixels, const ImageOptions& options) {
  const Image plain(vips_image_new_from_memory(pixels.data.data(), pixels.data.size(), pixels.width_px,
                                               pixels.height_px, pixels.bands,
                                               pixels.bits == 16 ? VIPS_FORMAT_USHORT : VIPS_FORMAT_UCHAR));
  if (!plain) return nullptr;
  const double px_per_mm = options.resolution_tags ? options.dpi / 25.4 : 1.0;
  VipsImage* tagged = nullptr;
  if (vips_copy(plain.get(), &tagged, "interpretation", interpretation_of(pixels), "xres", px_per_mm, "yres",
                px_per_mm, nullptr) != 0) {
    return nullptr;
  }
  return Image(tagged);
}

VipsForeignTiffCompression vips_compression(TiffCompression compression) {
  switch (compression) {
    case TiffCompression::none:
      return VIPS_FOREIGN_TIFF_COMPRESSION_NONE;
    case TiffCompression::deflate:
      return VIPS_FOREIGN_TIFF_COMPRESSION_DEFLATE;
    case TiffCompression::lzw:
      break;
  }
  return VIPS_FOREIGN_TIFF_COMPRESSION_LZW;
}

bool save(VipsImage* image, FileKind format, const std::string& path, const ImageOptions& options) {
  switch (format) {
    case FileKind::tiff:
      return vips_tiffsave(image, path.c_str(), "compression", vips_compression(options.tiff_compression),
                           "predictor", VIPS_FOREIGN_TIFF_PREDICTOR_HORIZONTAL, "resunit",
                           VIPS_FOREIGN_TIFF_RESUNIT_INCH, nullptr) == 0;
    case FileKind::png:
      return vips_pngsave(image, path.c_str(), "compression", kPngEffort, nullptr) == 0;
    case FileKind::jpeg: {
      const std::unique_ptr<VipsArrayDouble, void (*)(VipsArrayDouble*)> white(
          vips_array_double_newv(1, 255.0), [](VipsArrayDouble* a) { vips_area_unref(VIPS_AREA(a)); });
      return vips_jpegsave(image, path.c_str(), "Q", options.jpeg_quality, "background", white.get(),
                           nullptr) == 0;
    }
    case FileKind::unknown:
      break;
  }
  return false;
}

// The same settings for memory, in libvips' suffix syntax.
std::string suffix_with_settings(FileKind format, const ImageOptions& options) {
  switch (format) {
    case FileKind::tiff: {
      const char* name = options.tiff_compression == TiffCompression::none      ? "none"
                         : options.tiff_compression == TiffCompression::deflate ? "deflate"
                                                                                : "lzw";
      return std::string(".tif[compression=") + name + ",predictor=horizontal,resunit=inch]";
    }
    case FileKind::png:
      return ".png[compression=" + std::to_string(kPngEffort) + "]";
    case FileKind::jpeg:
    case FileKind::unknown:
      break;
  }
  return ".jpg[background=255,Q=" + std::to_string(options.jpeg_quality) + "]";
}

std::string expect(const Pixels& p, FileKind format, const ImageOptions& options) {
  if (format == FileKind::unknown) {
    return "the name's suffix chooses the image format; allowed are .tif, .tiff, .png, .jpg and .jpeg: "
           "rename it";
  }
  const auto size = static_cast<std::size_t>(p.width_px) * static_cast<std::size_t>(p.height_px) *
                    static_cast<std::size_t>(p.bands) * static_cast<std::size_t>(p.bits / 8);
  if (p.width_px <= 0 || p.height_px <= 0 || p.data.size() != size) {
    return "no image of " + std::to_string(p.width_px) + " x " + std::to_string(p.height_px) +
           " px can be made of " + std::to_string(p.data.size()) + " bytes; give " + std::to_string(size);
  }
  if (format == FileKind::jpeg && p.bits != 8) return "a JPEG holds 8 bits; write 16 bits to .tif or .png";
  if (options.jpeg_quality < 1 || options.jpeg_quality > 100) {
    return "the JPEG quality is " + std::to_string(options.jpeg_quality) + "; allowed is 1 to 100";
  }
  if (options.resolution_tags && !(options.dpi > 0))
    return "the resolution to note is not above 0; give its dpi";
  return "";
}

}  // namespace

Result<std::string> encode_image(const Pixels& pixels, const std::string& suffix,
                                 const ImageOptions& options) {
  start_vips();
  const FileKind format = format_of("image" + suffix);
  if (std::string wrong = expect(pixels, format, options); !wrong.empty()) return Problem{"", 0, 0, wrong};
  const Image image = tagged_image(pixels, options);
  void* buffer = nullptr;
  std::size_t size = 0;
  if (!image || vips_image_write_to_buffer(image.get(), suffix_with_settings(format, options).c_str(),
                                           &buffer, &size, nullptr) != 0) {
    return Problem{"", 0, 0, "the image cannot be made: " + take_vips_error()};
  }
  std::string bytes(static_cast<const char*>(buffer), size);
  g_free(buffer);
  return bytes;
}

Result<Written> write_image(const Pixels& pixels, const std::string& path, const ImageOptions& options) {
  start_vips();
  const fs::path target(path);
  const FileKind format = format_of(target);
  if (std::string wrong = expect(pixels, format, options); !wrong.empty()) return Problem{path, 0, 0, wrong};
  std::error_code error;
  const fs::path folder = target.has_parent_path() ? target.parent_path() : fs::path(".");
  if (!fs::is_directory(folder, error)) {
    return Problem{path, 0, 0, "its folder does not exist; make it or name another"};
  }
  AtomicFile part(path);
  const Image image = tagged_image(pixels, options);
  if (!part.failed().empty()) {
    return Problem{path, 0, 0,
                   "cannot be written (" + part.failed() + "); name a file, in a folder you may write to"};
  }
  if (!image || !save(image.get(), format, part.path(), options)) {
    return Problem{
        path, 0, 0,
        "cannot be written (" + take_vips_error() + "); check the folder's permissions and free space"};
  }
  if (const std::string reason = part.commit(options.existing); !reason.empty()) {
    return Problem{path, 0, 0,
                   "cannot be written (" + reason + "); name a file, in a folder you may write to"};
  }
  return Written{path};
}

}  // namespace scrapetrace::scan
