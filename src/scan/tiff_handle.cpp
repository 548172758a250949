#include "scan/tiff_handle.h"

#include <sys/stat.h>
#include <tiffio.h>

#include <algorithm>
#include <cstdarg>

#include "scan/scan_file.h"

namespace scrapetrace::scan {

namespace {

constexpr std::size_t kLargestStrip = 8U << 20U;  // bytes, decoded: 128 rows at 1200 dpi
constexpr tmsize_t kMostMemory = 64 << 20;        // for any single allocation that a directory asks for

TiffHandle::Place& place_of(thandle_t place) {
  return *static_cast<TiffHandle::Place*>(place);
}

tmsize_t read_wanted(thandle_t handle, void* to, tmsize_t wanted) {
  TiffHandle::Place& place = place_of(handle);
  auto* out = static_cast<std::uint8_t*>(to);
  tmsize_t got = 0;
  while (got < wanted) {
    const ssize_t now =
        read_some(place.descriptor, out + got, static_cast<std::size_t>(wanted - got), place.at);
    if (now < 0) return -1;
    if (now == 0) break;
    got += now;
    place.at += static_cast<std::uint64_t>(now);
  }
  return got;
}

tmsize_t write_nothing(thandle_t, void*, tmsize_t) {
  return -1;
}

toff_t move_to(thandle_t handle, toff_t offset, int from) {
  TiffHandle::Place& place = place_of(handle);
  if (from == SEEK_CUR) offset += place.at;
  if (from == SEEK_END) offset += place.size;
  return place.at = offset;
}

int leave_open(thandle_t) {
  return 0;
}

toff_t size_of(thandle_t handle) {
  return place_of(handle).size;
}

// Drops libtiff's message but records that there was one. Such a page is read by libvips, which reports the
// problem.
int note_complaint(TIFF*, void* noted, const char*, const char*, va_list) {
  *static_cast<bool*>(noted) = true;
  return 1;
}

struct FreeOptions {
  void operator()(TIFFOpenOptions* options) const { TIFFOpenOptionsFree(options); }
};

template <class Value>
Value field(TIFF* tiff, std::uint32_t tag) {
  Value value{};
  return TIFFGetFieldDefaulted(tiff, tag, &value) == 1 ? value : Value{};
}

bool has_plain_coding(TIFF* tiff) {
  switch (field<std::uint16_t>(tiff, TIFFTAG_COMPRESSION)) {
    case COMPRESSION_NONE:
    case COMPRESSION_LZW:
    case COMPRESSION_DEFLATE:
    case COMPRESSION_ADOBE_DEFLATE:
      return true;
    default:
      return false;
  }
}

bool has_extra_samples(TIFF* tiff) {
  std::uint16_t count = 0;
  std::uint16_t* kinds = nullptr;
  return TIFFGetFieldDefaulted(tiff, TIFFTAG_EXTRASAMPLES, &count, &kinds) == 1 && count > 0;
}

bool has_plain_samples(TIFF* tiff) {
  const auto bands = field<std::uint16_t>(tiff, TIFFTAG_SAMPLESPERPIXEL);
  const auto bits = field<std::uint16_t>(tiff, TIFFTAG_BITSPERSAMPLE);
  const auto colours = field<std::uint16_t>(tiff, TIFFTAG_PHOTOMETRIC);
  return ((bands == 1 && colours == PHOTOMETRIC_MINISBLACK) || (bands == 3 && colours == PHOTOMETRIC_RGB)) &&
         (bits == 8 || bits == 16) && field<std::uint16_t>(tiff, TIFFTAG_SAMPLEFORMAT) == SAMPLEFORMAT_UINT &&
         (bands == 1 || field<std::uint16_t>(tiff, TIFFTAG_PLANARCONFIG) == PLANARCONFIG_CONTIG) &&
         !has_extra_samples(tiff);
}

// Tags in libtiff's custom list that hold text only.
constexpr std::array kWords{TIFFTAG_DOCUMENTNAME, TIFFTAG_IMAGEDESCRIPTION, TIFFTAG_MAKE,     TIFFTAG_MODEL,
                            TIFFTAG_PAGENAME,     TIFFTAG_SOFTWARE,         TIFFTAG_DATETIME, TIFFTAG_ARTIST,
                            TIFFTAG_HOSTCOMPUTER, TIFFTAG_COPYRIGHT};

bool says_more(TIFF* tiff) {
  for (int k = 0; k < TIFFGetTagListCount(tiff); ++k) {
    if (std::find(kWords.begin(), kWords.end(), TIFFGetTagListEntry(tiff, k)) == kWords.end()) return true;
  }
  std::uint16_t count = 0;
  std::uint64_t* places = nullptr;
  return TIFFGetField(tiff, TIFFTAG_SUBIFD, &count, &places) == 1;
}

// Nothing for an unknown unit; TIFF 6.0 defaults to inches. In floats, as libvips computes: g++ 12 leaves out
// the rounding where two doubles are rounded and widened at once.
std::optional<std::array<float, 2>> density(TIFF* tiff) {
  float across = 0;
  float along = 0;
  const auto unit = field<std::uint16_t>(tiff, TIFFTAG_RESOLUTIONUNIT);
  if (unit < RESUNIT_NONE || unit > RESUNIT_CENTIMETER) return std::nullopt;
  if (TIFFGetField(tiff, TIFFTAG_XRESOLUTION, &across) != 1 ||
      TIFFGetField(tiff, TIFFTAG_YRESOLUTION, &along) != 1 || unit == RESUNIT_NONE)
    return std::array{0.0F, 0.0F};
  const double unit_mm = unit == RESUNIT_INCH ? 25.4 : 10.0;
  return std::array{static_cast<float>(across / unit_mm), static_cast<float>(along / unit_mm)};
}

}  // namespace

TiffHandle::TiffHandle(int descriptor) {
  struct stat about {};
  if (fstat(descriptor, &about) == 0) place_.size = static_cast<std::uint64_t>(about.st_size);
  place_.descriptor = descriptor;
}

std::unique_ptr<TiffHandle> TiffHandle::open(int descriptor, int index) {
  const std::unique_ptr<TIFFOpenOptions, FreeOptions> options(TIFFOpenOptionsAlloc());
  if (!options) return nullptr;
  TIFFOpenOptionsSetMaxSingleMemAlloc(options.get(), kMostMemory);
  std::unique_ptr<TiffHandle> handle(new TiffHandle(descriptor));
  TIFFOpenOptionsSetErrorHandlerExtR(options.get(), note_complaint, &handle->complained_);
  TIFFOpenOptionsSetWarningHandlerExtR(options.get(), note_complaint, &handle->complained_);
  // "m": no memory mapping, which would crash if the file were truncated meanwhile.
  handle->tiff_ = TIFFClientOpenExt("", "rm", &handle->place_, read_wanted, write_nothing, move_to,
                                    leave_open, size_of, nullptr, nullptr, options.get());
  if (handle->tiff_ == nullptr || TIFFSetDirectory(handle->tiff_, static_cast<tdir_t>(index)) != 1)
    return nullptr;
  return handle;
}

TiffHandle::~TiffHandle() {
  if (tiff_ != nullptr) TIFFClose(tiff_);
}

TiffStrips TiffHandle::strips() const {
  TiffStrips out;
  const auto width = field<std::uint32_t>(tiff_, TIFFTAG_IMAGEWIDTH);
  const auto height = field<std::uint32_t>(tiff_, TIFFTAG_IMAGELENGTH);
  const auto rows = field<std::uint32_t>(tiff_, TIFFTAG_ROWSPERSTRIP);
  if (TIFFIsTiled(tiff_) != 0 || !has_plain_coding(tiff_) || !has_plain_samples(tiff_)) return out;
  if (std::max(width, height) > 1'000'000 || width == 0 || rows == 0) return out;
  out.size = {static_cast<int>(width), static_cast<int>(height),
              field<std::uint16_t>(tiff_, TIFFTAG_SAMPLESPERPIXEL),
              field<std::uint16_t>(tiff_, TIFFTAG_BITSPERSAMPLE) / 8};
  const auto held = static_cast<int>(std::min(rows, height));
  if (out.row_bytes() * static_cast<std::size_t>(held) <= kLargestStrip) out.rows_per_strip = held;
  return out;
}

std::optional<TiffHeader> TiffHandle::plain_header() const {
  const TiffStrips held = strips();
  const auto resolution = density(tiff_);
  if (held.rows_per_strip == 0 || !resolution || says_more(tiff_) || complained_) return std::nullopt;
  return TiffHeader{held.size, field<std::uint16_t>(tiff_, TIFFTAG_ORIENTATION), *resolution};
}

bool TiffHandle::is_last() const {
  return TIFFLastDirectory(tiff_) != 0;
}

bool TiffHandle::go_on() {
  return TIFFReadDirectory(tiff_) == 1;
}

bool TiffHandle::read(int number, std::uint8_t* to, std::size_t bytes) {
  const auto wanted = static_cast<tmsize_t>(bytes);
  return TIFFReadEncodedStrip(tiff_, static_cast<std::uint32_t>(number), to, wanted) == wanted;
}

}  // namespace scrapetrace::scan
