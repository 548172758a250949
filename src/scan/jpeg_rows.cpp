#include "scan/jpeg_rows.h"

#include <algorithm>
#include <array>

// clang-format off: it needs <cstdio>
#include <jerror.h>

#include "scan/jpeg_failure.h"
// clang-format on

namespace scrapetrace::scan {

// libvips' buffer size. libjpeg warns of invalid codes only near the end of its buffer, so with another size
// this decoder would accept damaged files that libvips refuses.
static constexpr std::size_t kJpegWindow = 4096;

// The data source; libjpeg's callbacks get a pointer to its first member.
struct JpegReader {
  jpeg_source_mgr manager;
  int descriptor;  // of a file; negative: from memory
  const std::uint8_t* memory;
  std::size_t size;  // of the memory block
  std::size_t at;    // offset of the next byte
  std::array<std::uint8_t, kJpegWindow> window;
};

namespace {

JpegReader& reader_of(j_decompress_ptr info) {
  return *reinterpret_cast<JpegReader*>(info->src);
}

std::size_t read_on(JpegReader& reader) {
  if (reader.descriptor < 0) {
    const std::size_t size = std::min(reader.window.size(), reader.size - reader.at);
    std::copy_n(reader.memory + reader.at, size, reader.window.data());
    return size;
  }
  const ssize_t got = read_some(reader.descriptor, reader.window.data(), reader.window.size(), reader.at);
  return got < 0 ? 0 : static_cast<std::size_t>(got);
}

// At the end of data: a warning and an end-of-image marker, as libjpeg's own sources do.
boolean refill(j_decompress_ptr info) {
  JpegReader& reader = reader_of(info);
  std::size_t got = read_on(reader);
  reader.at += got;
  if (got == 0) {
    WARNMS(info, JWRN_JPEG_EOF);
    reader.window[0] = 0xFF;
    reader.window[1] = JPEG_EOI;
    got = 2;
  }
  reader.manager.next_input_byte = reader.window.data();
  reader.manager.bytes_in_buffer = got;
  return TRUE;
}

void pass_over(j_decompress_ptr info, long bytes) {
  jpeg_source_mgr& manager = *info->src;
  auto wanted = static_cast<std::size_t>(std::max(0L, bytes));
  while (wanted > manager.bytes_in_buffer) {
    wanted -= manager.bytes_in_buffer;
    refill(info);
  }
  manager.next_input_byte += wanted;
  manager.bytes_in_buffer -= wanted;
}

void do_nothing(j_decompress_ptr) {}

void attach(j_decompress_ptr info, JpegReader& reader, const JpegSource& source) {
  reader.descriptor = source.file != nullptr ? source.file->descriptor() : -1;
  reader.memory = reinterpret_cast<const std::uint8_t*>(source.bytes.data());
  reader.size = source.bytes.size();
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
  JpegReader reader{};
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
  attach(&state->info, state->reader, source);
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
