#include "scan/jpeg_header.h"

#include <cmath>

#include "scan/jpeg_failure.h"

namespace scrapetrace::scan {

namespace {

constexpr int kExifSegment = JPEG_APP0 + 1;  // and XMP's

double luma_sigma(const jpeg_decompress_struct& info) {
  if (info.num_components < 1) return 0;
  const int table = info.comp_info[0].quant_tbl_no;
  if (table < 0 || table >= NUM_QUANT_TBLS || info.quant_tbl_ptrs[table] == nullptr) return 0;
  double sum = 0;
  for (const UINT16 q : info.quant_tbl_ptrs[table]->quantval) sum += static_cast<double>(q) * q;
  return std::sqrt(sum / DCTSIZE2 / 12);
}

std::array<bool, 2> thinned(const jpeg_decompress_struct& info) {
  std::array<bool, 2> out{};
  for (int c = 1; c < info.num_components; ++c) {
    const auto& luma = info.comp_info[0];
    out[0] = out[0] || info.comp_info[c].h_samp_factor < luma.h_samp_factor;
    out[1] = out[1] || info.comp_info[c].v_samp_factor < luma.v_samp_factor;
  }
  return out;
}

JpegHeader describe(const jpeg_decompress_struct& info) {
  JpegHeader out;
  if (info.saw_JFIF_marker != 0 && (info.density_unit == 1 || info.density_unit == 2)) {
    const double unit_mm = info.density_unit == 1 ? 25.4 : 10;
    out.density_px_per_mm = {info.X_density / unit_mm, info.Y_density / unit_mm};
  }
  out.quantisation_sigma = luma_sigma(info);
  out.thinned = thinned(info);
  for (const auto* segment = info.marker_list; segment != nullptr; segment = segment->next) {
    const std::string data(reinterpret_cast<const char*>(segment->data), segment->data_length);
    if (out.exif.empty() && segment->marker == kExifSegment && data.starts_with("Exif")) {
      out.exif = data;
    } else {
      out.says_more = true;
    }
  }
  return out;
}

// `attach` gives the decompressor its source. No object here has a destructor that longjmp would skip.
template <class Attach>
bool read_segments(jpeg_decompress_struct& info, JpegFailure& failure, const Attach& attach) {
  if (setjmp(failure.where) != 0) return false;  // NOLINT(cert-err52-cpp): libjpeg's own way of failing
  jpeg_create_decompress(&info);
  attach(&info);
  jpeg_save_markers(&info, kExifSegment, 0xFFFF);
  for (const int segment : {2, 13}) jpeg_save_markers(&info, JPEG_APP0 + segment, 1);
  return jpeg_read_header(&info, TRUE) == JPEG_HEADER_OK;
}

template <class Attach>
bool read_header(const Attach& attach, JpegHeader& out) {
  jpeg_decompress_struct info;
  JpegFailure failure;
  info.err = prepare(failure);
  const bool read = read_segments(info, failure, attach);
  if (read) out = describe(info);
  jpeg_destroy_decompress(&info);
  return read;
}

}  // namespace

std::optional<JpegHeader> read_jpeg_header(std::FILE* file) {
  if (file == nullptr) return std::nullopt;
  JpegHeader out;
  const bool read = read_header([&](j_decompress_ptr info) { jpeg_stdio_src(info, file); }, out);
  return read ? std::optional(out) : std::nullopt;
}

std::optional<JpegHeader> read_jpeg_header_of(const std::string& bytes) {
  JpegHeader out;
  const bool read = read_header(
      [&](j_decompress_ptr info) {
        jpeg_mem_src(info, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
      },
      out);
  return read ? std::optional(out) : std::nullopt;
}

}  // namespace scrapetrace::scan
