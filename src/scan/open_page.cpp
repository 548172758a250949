#include "scan/open_page.h"

#include <cstring>
#include <filesystem>
#include <fstream>

#include "scan/open_pdf_page.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

namespace fs = std::filesystem;

constexpr const char* kFormats = "TIFF, PNG, JPEG, WebP, HEIC, AVIF or PDF";

std::string first_bytes(const std::string& file) {
  std::string bytes(1024, '\0');
  std::ifstream in(file, std::ios::binary);
  in.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  bytes.resize(static_cast<std::size_t>(in.gcount()));
  return bytes;
}

bool has_loader(const char* operation) {
  return vips_type_find("VipsOperation", operation) != 0;
}

// ISO/IEC 14496-12 and 23008-12: a file-type box names the brands.
bool looks_like_heif(const std::string& bytes) {
  if (bytes.size() < 12 || bytes.compare(4, 4, "ftyp") != 0) return false;
  const std::string brand = bytes.substr(8, 4);
  for (const char* known : {"heic", "heix", "heim", "heis", "hevc", "mif1", "msf1", "avif", "avis"}) {
    if (brand == known) return true;
  }
  return false;
}

Problem cannot_decode(const std::string& file, const char* what) {
  return {file, 0, 0,
          std::string("is a ") + what +
              ", which the libvips of this computer cannot read; save the scan as TIFF or PNG"};
}

std::optional<Problem> not_a_file(const std::string& file) {
  std::error_code error;
  if (!fs::exists(file, error)) return Problem{file, 0, 0, "no such file; check the name"};
  if (fs::is_directory(file, error)) return Problem{file, 0, 0, "is a folder; name the scan files in it"};
  if (fs::file_size(file, error) == 0 && !error)
    return Problem{file, 0, 0, "the file is empty; scan or copy it again"};
  return std::nullopt;
}

using Load = int (*)(VipsSource*, VipsImage**, ...);

Load loader_of(Format format) {
  switch (format) {
    case Format::tiff:
      return vips_tiffload_source;
    case Format::png:
      return vips_pngload_source;
    case Format::webp:
      return vips_webpload_source;
    case Format::heif:
      return vips_heifload_source;
    case Format::jpeg:
    case Format::pdf:
      break;
  }
  return vips_jpegload_source;
}

Image open_sequential(VipsSource* source, Format format, int index) {
  VipsImage* image = nullptr;
  const Load load = loader_of(format);
  if (format == Format::tiff) {
    load(source, &image, "access", VIPS_ACCESS_SEQUENTIAL, "fail_on", VIPS_FAIL_ON_TRUNCATED, "page", index,
         nullptr);
  } else {
    load(source, &image, "access", VIPS_ACCESS_SEQUENTIAL, "fail_on", VIPS_FAIL_ON_TRUNCATED, nullptr);
  }
  return Image(image);
}

Image open_tiff(const std::string& file, int index) {
  const Source source(vips_source_new_from_file(file.c_str()));
  return source ? open_sequential(source.get(), Format::tiff, index) : nullptr;
}

int orientation_of(VipsImage* image) {
  int orientation = 1;
  if (vips_image_get_typeof(image, VIPS_META_ORIENTATION) != 0)
    vips_image_get_int(image, VIPS_META_ORIENTATION, &orientation);
  return orientation < 1 || orientation > 8 ? 1 : orientation;
}

}  // namespace

const char* to_string(Format format) {
  switch (format) {
    case Format::tiff:
      return "TIFF";
    case Format::png:
      return "PNG";
    case Format::jpeg:
      return "JPEG";
    case Format::webp:
      return "WebP";
    case Format::heif:
      return "HEIC or AVIF";
    case Format::pdf:
      break;
  }
  return "PDF";
}

Result<Format> format_of(const std::string& file) {
  if (auto problem = not_a_file(file)) return *problem;
  const std::string bytes = first_bytes(file);
  if (bytes.find("%PDF-") != std::string::npos) {
    return has_loader("pdfload") ? Result<Format>(Format::pdf) : cannot_decode(file, "PDF");
  }
  if (looks_like_heif(bytes)) {
    return has_loader("heifload") ? Result<Format>(Format::heif)
                                  : cannot_decode(file, "HEIC or AVIF picture");
  }
  const Source source(vips_source_new_from_file(file.c_str()));
  const char* found = source ? vips_foreign_find_load_source(source.get()) : nullptr;
  vips_error_clear();
  const std::string loader = found == nullptr ? "" : found;
  if (loader == "VipsForeignLoadTiffSource") return Format::tiff;
  if (loader == "VipsForeignLoadPngSource") return Format::png;
  if (loader == "VipsForeignLoadJpegSource") return Format::jpeg;
  if (loader == "VipsForeignLoadWebpSource") return Format::webp;
  return Problem{
      file, 0, 0,
      std::string("is not a ") + kFormats +
          " file, or too little of one; save the scan as one of these, and copy it again if it was "
          "cut short"};
}

int tiff_pages(const std::string& file) {
  const Image image = open_tiff(file, 0);
  const int pages = image ? vips_image_get_n_pages(image.get()) : 1;
  vips_error_clear();
  return pages;
}

std::optional<std::array<int, 2>> page_size(const std::string& file, int index) {
  const Image image = open_tiff(file, index);
  vips_error_clear();
  if (!image) return std::nullopt;
  return std::array{vips_image_get_width(image.get()), vips_image_get_height(image.get())};
}

Result<OpenedPage> open_page(const PageName& name) {
  const auto format = format_of(name.file);
  if (!format) return format.problems();
  if (*format == Format::pdf) return open_pdf_page(name);
  if (name.index > 0 && *format != Format::tiff) {
    return Problem{name.file, 0, 0,
                   "has one page, no page " + std::to_string(name.index + 1) + "; name the file alone"};
  }
  OpenedPage page;
  page.format = *format;
  const Source source(vips_source_new_from_file(name.file.c_str()));
  if (source) page.image = open_sequential(source.get(), *format, name.index);
  if (!page.image) {
    return Problem{name.file, 0, 0,
                   "cannot be read as an image (" + take_first_vips_error() + "); give a " + kFormats +
                       " scan, and copy it again if it was cut short"};
  }
  if (*format == Format::jpeg) page.jpeg = read_jpeg_header(name.file);
  page.orientation = orientation_of(page.image.get());
  page.tags = read_resolution(page.image.get(), *format, page.jpeg ? &*page.jpeg : nullptr);
  return page;
}

}  // namespace scrapetrace::scan
