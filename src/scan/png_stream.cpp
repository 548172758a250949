#include "scan/png_stream.h"

#include <isa-l/crc.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <utility>

namespace scrapetrace::scan {

namespace {

constexpr std::size_t kWindow = 1U << 18U;
constexpr std::size_t kPiece = 1U << 16U;  // bytes of compressed pixels passed on at once
constexpr std::uint32_t kLargestNumber = 0x7FFFFFFF;

constexpr std::uint32_t chunk_type(const char (&name)[5]) {
  std::uint32_t out = 0;
  for (int k = 0; k < 4; ++k) out = out << 8U | static_cast<std::uint8_t>(name[k]);
  return out;
}
constexpr std::uint32_t kHeaderChunk = chunk_type("IHDR");
constexpr std::uint32_t kPaletteChunk = chunk_type("PLTE");
constexpr std::uint32_t kPixelsChunk = chunk_type("IDAT");
constexpr std::uint32_t kEndChunk = chunk_type("IEND");
constexpr std::uint32_t kTransparencyChunk = chunk_type("tRNS");
constexpr std::uint32_t kDensityChunk = chunk_type("pHYs");

// Ancillary chunks without effect on colours taken as sRGB, with their sizes.
constexpr std::array<std::pair<std::uint32_t, std::size_t>, 4> kOfNoConsequence{
    {{chunk_type("sRGB"), 1}, {chunk_type("gAMA"), 4}, {chunk_type("cHRM"), 32}, {chunk_type("tIME"), 7}}};
constexpr std::uint32_t kTextChunk = chunk_type("tEXt");
constexpr std::size_t kLongestText = 4096;
constexpr int kMostTexts = 16;  // libvips' limit

// Clause 5.4: critical when bit 5 of the first letter is 0.
bool is_critical(std::uint32_t type) {
  return (type >> 24U & 0x20U) == 0;
}

bool is_of_letters(std::uint32_t type) {
  for (unsigned shift = 0; shift < 32; shift += 8) {
    const std::uint32_t capital = (type >> shift & 0xFFU) & ~0x20U;
    if (capital < 'A' || capital > 'Z') return false;
  }
  return true;
}

std::uint32_t number_at(const std::uint8_t* p) {
  return static_cast<std::uint32_t>(p[0]) << 24U | static_cast<std::uint32_t>(p[1]) << 16U |
         static_cast<std::uint32_t>(p[2]) << 8U | p[3];
}

std::uint32_t sum_on(std::uint32_t sum, const std::uint8_t* data, std::size_t size) {
  return crc32_gzip_refl(sum, data, size);
}

// Clause 11.2.1: width, height, bit depth, colour type (0 grey, 2 RGB), compression, filter, interlace.
StoredSize size_in(const std::uint8_t* header) {
  const std::uint32_t width = number_at(header);
  const std::uint32_t height = number_at(header + 4);
  const int bits = header[8];
  const int colour = header[9];
  const bool plain = (bits == 8 || bits == 16) && (colour == 0 || colour == 2) && header[10] == 0 &&
                     header[11] == 0 && header[12] == 0;
  if (!plain || width > kLargestNumber || height > kLargestNumber) return {};
  return {static_cast<int>(width), static_cast<int>(height), colour == 0 ? 1 : 3, bits / 8};
}

}  // namespace

PngStream::PngStream(const ScanFile& file) : file_(file), window_(kWindow) {
  if (!read_header()) {
    wrong_ = true;
    size_ = {};
  }
}

// False when the file ends before.
bool PngStream::fill(std::size_t wanted) {
  if (to_ - from_ >= wanted) return true;
  std::memmove(window_.data(), window_.data() + from_, to_ - from_);
  to_ -= from_;
  from_ = 0;
  while (to_ < wanted) {
    const ssize_t got = read_some(file_.descriptor(), window_.data() + to_, window_.size() - to_, at_);
    if (got <= 0) return false;
    to_ += static_cast<std::size_t>(got);
    at_ += static_cast<std::uint64_t>(got);
  }
  return true;
}

std::uint32_t PngStream::take_number() {
  from_ += 4;
  return number_at(window_.data() + from_ - 4);
}

bool PngStream::begin_chunk() {
  if (!fill(8)) return false;
  chunk_.left = take_number();
  chunk_.sum = sum_on(0, window_.data() + from_, 4);
  chunk_.type = take_number();
  return chunk_.left <= kLargestNumber && is_of_letters(chunk_.type);
}

bool PngStream::end_chunk() {
  return fill(4) && take_number() == chunk_.sum;
}

std::span<const std::uint8_t> PngStream::take_data(std::size_t most) {
  if (!fill(1)) return {};
  const std::size_t size = std::min({most, chunk_.left, to_ - from_});
  const std::uint8_t* data = window_.data() + from_;
  chunk_.sum = sum_on(chunk_.sum, data, size);
  chunk_.left -= size;
  from_ += size;
  return {data, size};
}

bool PngStream::pass_chunk() {
  while (chunk_.left > 0) {
    if (take_data(chunk_.left).empty()) return false;
  }
  return end_chunk();
}

bool PngStream::read_header() {
  constexpr std::array<std::uint8_t, 8> kSignature{0x89, 'P', 'N', 'G', '\r', '\n', 0x1A, '\n'};
  constexpr std::size_t kHeaderBytes = 13;
  if (!fill(kSignature.size() + 8 + kHeaderBytes)) return false;
  if (!std::equal(kSignature.begin(), kSignature.end(), window_.begin())) return false;
  from_ += kSignature.size();
  if (!begin_chunk() || chunk_.type != kHeaderChunk || chunk_.left != kHeaderBytes) return false;
  size_ = size_in(window_.data() + from_);
  while (pass_chunk() && begin_chunk()) {
    if (chunk_.type == kPixelsChunk) return true;
    if (chunk_.type == kTransparencyChunk || (is_critical(chunk_.type) && chunk_.type != kPaletteChunk))
      return false;
    says_more_ = !take_note() || says_more_;
  }
  return false;
}

bool PngStream::take_note() {
  if (chunk_.type == kTextChunk) return chunk_.left <= kLongestText && ++texts_ <= kMostTexts;
  if (!noted_.insert(chunk_.type).second) return false;
  if (chunk_.type != kDensityChunk) {
    const std::pair chunk(chunk_.type, chunk_.left);
    return std::find(kOfNoConsequence.begin(), kOfNoConsequence.end(), chunk) != kOfNoConsequence.end();
  }
  // Clause 11.3.5.3 (pHYs): pixels per unit across and along; unit 1 is the metre.
  if (chunk_.left != 9 || !fill(9)) return false;
  const std::uint8_t* data = window_.data() + from_;
  const std::uint32_t across = number_at(data);
  const std::uint32_t along = number_at(data + 4);
  if (std::max(across, along) > kLargestNumber || data[8] != 1) return false;
  density_px_per_mm_ = {across / 1000.0, along / 1000.0};
  return true;
}

std::span<const std::uint8_t> PngStream::more() {
  joined_.clear();
  while (!wrong_ && joined_.size() < kPiece && chunk_.type == kPixelsChunk) {
    if (chunk_.left == 0) {
      wrong_ = !end_chunk() || !begin_chunk();
      continue;
    }
    const auto data = take_data(chunk_.left);
    wrong_ = data.empty();
    if (joined_.empty() && data.size() >= kPiece) return data;
    joined_.insert(joined_.end(), data.begin(), data.end());
  }
  return wrong_ ? std::span<const std::uint8_t>() : joined_;
}

bool PngStream::ends_well() {
  if (!more().empty() || wrong_) return false;
  while (!is_critical(chunk_.type)) {
    if (!pass_chunk() || !begin_chunk()) return false;
  }
  return chunk_.type == kEndChunk && chunk_.left == 0 && end_chunk();
}

}  // namespace scrapetrace::scan
