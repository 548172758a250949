#include "scan/file_format.h"

#include <array>
#include <string_view>

#include "scan/file_signature.h"
#include "scan/libvips.h"
#include "scan/load_vips_module.h"

namespace scrapetrace::scan {

namespace {

using namespace std::string_view_literals;

bool has_loader(const char* module, const char* loader, const char* operation) {
  load_vips_module(module, loader);
  return vips_type_find("VipsOperation", operation) != 0;
}

// ISO/IEC 14496-12 and 23008-12: the file-type box lists the brands.
bool looks_like_heif(std::string_view bytes) {
  if (bytes.size() < 12 || bytes.substr(4, 4) != "ftyp") return false;
  for (const auto brand : {"heic", "heix", "heim", "heis", "hevc", "mif1", "msf1", "avif", "avis"}) {
    if (bytes.substr(8, 4) == brand) return true;
  }
  return false;
}

// TIFF 6.0 and BigTIFF, either byte order.
bool looks_like_tiff(std::string_view bytes) {
  for (const auto magic : {"II\x2a\0"sv, "MM\0\x2a"sv, "II\x2b\0"sv, "MM\0\x2b"sv}) {
    if (bytes.starts_with(magic)) return true;
  }
  return false;
}

// Formats that hold one picture.
std::optional<Format> picture_format(std::string_view start) {
  if (start.starts_with("\x89PNG\r\n\x1a\n"sv)) return Format::png;
  if (start.starts_with("\xff\xd8\xff"sv)) return Format::jpeg;
  if (start.starts_with("RIFF") && start.size() >= 12 && start.substr(8, 4) == "WEBP") return Format::webp;
  return std::nullopt;
}

std::optional<Format> format_by(std::string_view start) {
  if (looks_like_tiff(start)) return Format::tiff;
  if (const auto picture = picture_format(start)) return picture;
  if (start.find("%PDF-") != std::string_view::npos) return Format::pdf;
  if (looks_like_heif(start)) return Format::heif;
  return std::nullopt;
}

Problem cannot_decode(const std::string& file, const char* what) {
  return {file, 0, 0,
          std::string("is a ") + what +
              ", which the libvips of this computer cannot read; save the scan as TIFF or PNG"};
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

std::optional<Format> detect_format(const ScanFile& file) {
  return format_by(file.first_bytes(kSignature_bytes));
}

bool is_scan(std::string_view start) {
  return format_by(start.substr(0, kSignature_bytes)).has_value();
}

Result<Format> format_of(const ScanFile& file) {
  const auto format = detect_format(file);
  if (!format) {
    return Problem{
        file.name(), 0, 0,
        std::string("is not a ") + kFormats +
            " file, or too little of one; save the scan as one of these, and copy it again if it was "
            "cut short"};
  }
  if (*format == Format::pdf && !has_loader("poppler", "VipsForeignLoadPdf", "pdfload_source"))
    return cannot_decode(file.name(), "PDF");
  if (*format == Format::heif && !has_loader("heif", "VipsForeignLoadHeif", "heifload_source"))
    return cannot_decode(file.name(), "HEIC or AVIF picture");
  return *format;
}

bool holds_one_page(const ScanFile& file) {
  return picture_format(file.first_bytes(12)).has_value();
}

bool needs_libvips(const ScanFile& file) {
  const auto format = detect_format(file);
  return format == Format::webp || format == Format::heif || format == Format::pdf;
}

}  // namespace scrapetrace::scan
