#include "scan/jpeg_rows.h"

#include <unistd.h>

#include <array>
#include <cerrno>

// clang-format off: it needs <cstdio>
#include <jerror.h>

#include "scan/jpeg_failure.h"
// clang-format on

namespace scrapetrace::scan {

namespace {

// libjpeg reads from this; its functions are given the manager, which is the first member.
struct FileReader {
  jpeg_source_mgr manager;
  int descriptor;
  std::uint64_t at;
  std::array<std::uint8_t, 65536> window;
};

FileReader& reader_of(j_decompress_ptr info) {
  return *reinterpret_cast<FileReader*>(info->src);
}

// At the end of the file, like libjpeg's own readers: a warning, and an end of the image.
boolean refill(j_decompress_ptr info) {
  FileReader& reader = reader_of(info);
  ssize_t got = -1;
  do {
    got = pread(reader.descriptor, reader.window.data(), reader.window.size(), static_cast<off_t>(reader.at));
  } while (got < 0 && errno == EINTR);
  if (got <= 0) {
    WARNMS(info, JWRN_JPEG_EOF);
    reader.window[0] = 0xFF;
    reader.window[1] = JPEG_EOI;
    got = 2;
  } else {
    reader.at += static_cast<std::uint64_t>(got);
  }
  reader.manager.next_input_byte = reader.window.data();
  reader.manager.bytes_in_buffer = static_cast<std::size_t>(got);
  return TRUE;
}

void pass_over(j_decompress_ptr info, long bytes) {
  if (bytes <= 0) return;
  jpeg_source_mgr& manager = *info->src;
  const auto wanted = static_cast<std::size_t>(bytes);
  if (wanted <= manager.bytes_in_buffer) {
    manager.next_input_byte += wanted;
    manager.bytes_in_buffer -= wanted;
    return;
  }
  reader_of(info).at += wanted - manager.bytes_in_buffer;
  manager.bytes_in_buffer = 0;
}

void do_nothing(j_decompress_ptr) {}

void attach(j_decompress_ptr info, FileReader& reader, int descriptor) {
  reader.descriptor = descriptor;
  reader.at = 0;
  reader.manager.init_source = do_nothing;
  reader.manager.fill_input_buffer = refill;
  reader.manager.skip_input_data = pass_over;
  reader.manager.resync_to_restart = jpeg_resync_to_restart;
  reader.manager.term_source = do_nothing;
  reader.manager.next_input_byte = reader.window.data();
  reader.manager.bytes_in_buffer = 0;
  info->src = &reader.manager;
}

bool is_plain(jpeg_decompress_struct& info) {
  const J_COLOR_SPACE colours = info.jpeg_color_space;
  const bool grey = info.num_components == 1 && colours == JCS_GRAYSCALE;
  const bool rgb = info.num_components == 3 && (colours == JCS_YCbCr || colours == JCS_RGB);
  return (grey || rgb) && info.data_precision == 8 && info.arith_code == 0 && info.progressive_mode == 0 &&
         jpeg_has_multiple_scans(&info) == 0;
}

}  // namespace

struct JpegRows::State {
  jpeg_decompress_struct info{};
  JpegFailure failure{};
  FileReader reader{};
  bool usable = false;  // so far
  bool started = false;
};

JpegRows::JpegRows(const JpegSource& source) : state_(std::make_unique<State>()) {
  State* const state = state_.get();
  state->info.err = prepare(state->failure);
  if (setjmp(state->failure.where) != 0) {  // NOLINT(cert-err52-cpp): libjpeg's own way of failing
    state->usable = false;
    return;
  }
  jpeg_create_decompress(&state->info);
  if (source.file != nullptr) {
    attach(&state->info, state->reader, source.file->descriptor());
  } else {
    jpeg_mem_src(&state->info, reinterpret_cast<const unsigned char*>(source.bytes.data()),
                 static_cast<unsigned long>(source.bytes.size()));
  }
  state->usable = jpeg_read_header(&state->info, TRUE) == JPEG_HEADER_OK && !state->failure.warned &&
                  is_plain(state->info);
}

JpegRows::~JpegRows() {
  jpeg_destroy_decompress(&state_->info);
}

StoredSize JpegRows::size() const {
  const jpeg_decompress_struct& info = state_->info;
  if (!state_->usable) return {};
  return {static_cast<int>(info.image_width), static_cast<int>(info.image_height), info.num_components, 1};
}

bool JpegRows::start() {
  State* const state = state_.get();
  if (state->started || !state->usable) return state->usable;
  state->started = true;
  if (setjmp(state->failure.where) != 0) {  // NOLINT(cert-err52-cpp): the same
    state->usable = false;
    return false;
  }
  return jpeg_start_decompress(&state->info) != 0;
}

bool JpegRows::skip(int rows) {
  State* const state = state_.get();
  if (!start()) return false;
  if (setjmp(state->failure.where) != 0) {  // NOLINT(cert-err52-cpp): the same
    state->usable = false;
    return false;
  }
  const auto wanted = static_cast<JDIMENSION>(rows);
  state->usable = jpeg_skip_scanlines(&state->info, wanted) == wanted && !state->failure.warned;
  return state->usable;
}

bool JpegRows::read(std::uint8_t* to, std::size_t stride, int rows) {
  State* const state = state_.get();
  if (!start()) return false;
  if (setjmp(state->failure.where) != 0) {  // NOLINT(cert-err52-cpp): the same
    state->usable = false;
    return false;
  }
  const JDIMENSION end = state->info.output_scanline + static_cast<JDIMENSION>(rows);
  JDIMENSION first = state->info.output_scanline;
  const JDIMENSION begin = first;
  while (first < end) {
    JSAMPROW row = to + static_cast<std::size_t>(first - begin) * stride;
    first += jpeg_read_scanlines(&state->info, &row, 1);
  }
  state->usable = !state->failure.warned;
  return state->usable;
}

}  // namespace scrapetrace::scan
