#include "sandbox/reply.h"

#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <memory>
#include <new>
#include <span>
#include <string>
#include <utility>

#include "sandbox/wire.h"
#include "scan/scan_file.h"

namespace scrapetrace::sandbox {

namespace {

constexpr int kLargestSide_px = 200000;
constexpr std::size_t kMostSentences = 64;
constexpr std::size_t kLongestSentence = 2000;
constexpr std::size_t kMostPages = 100'000;
constexpr std::size_t kLargestWords = 1U << 20U;  // bytes of any reply but a page
constexpr double kMostNumber = 1e18;
constexpr std::uint64_t kMostPixels = 1ULL << 40U;

enum class Kind : std::uint64_t { page = 1, scans = 2, problems = 3, failed = 4, needs_libvips = 5 };

template <class Wire, class Statistics>
void pixel_fields(Wire& wire, Statistics& pixels) {
  wire.number(pixels.bits, 8, 16);
  for (auto& channel : pixels.codes) {
    for (auto& count : channel) wire.number(count, std::uint64_t{0}, kMostPixels);
  }
  for (auto& step : pixels.steps) {
    wire.number(step.sum, -kMostNumber, kMostNumber);
    wire.number(step.count, 0.0, kMostNumber);
  }
  wire.number(pixels.quantisation_sigma, 0.0, 1e6);
}

std::size_t area(int width, int height) {
  return static_cast<std::size_t>(width) * static_cast<std::size_t>(height);
}

template <class Wire, class Picture>
void overview_fields(Wire& wire, Picture& overview) {
  wire.number(overview.width, 0, kLargestSide_px);
  wire.number(overview.height, 0, kLargestSide_px);
  wire.number(overview.px_per_cell, 1, kLargestSide_px);
  wire.flag(overview.transposed);
  wire.flag(overview.flip_u);
  wire.flag(overview.flip_v);
  wire.bulk(overview.grey, area(overview.width, overview.height));
}

// What straightening adds is not there yet. The light comes first, by itself, where it can be read in place.
template <class Wire, class Page>
void page_fields(Wire& wire, Page& page) {
  wire.number(page.width_px, 1, kLargestSide_px);
  wire.number(page.height_px, 1, kLargestSide_px);
  wire.number(page.rows_per_block, 1, 64);
  wire.flag(page.transposed);
  wire.flag(page.grey);
  wire.number(page.tag_dpi_across, 0.0, 1e6);
  wire.number(page.tag_dpi_along, 0.0, 1e6);
  wire.number(page.flattening_sigma_mm, 0.0, 1e6);
  wire.text(page.tag_conflict, kLongestSentence);
  wire.resize(page.notes, kMostSentences);
  for (auto& note : page.notes) wire.text(note, kLongestSentence);
  pixel_fields(wire, page.pixels);
  overview_fields(wire, page.overview);
}

template <class Wire, class Sentences>
void problem_fields(Wire& wire, Sentences& problems) {
  wire.resize(problems, kMostSentences);
  for (auto& problem : problems) wire.text(problem.what, kLongestSentence);
}

template <class Wire, class Indices>
void scan_fields(Wire& wire, Indices& scans) {
  wire.resize(scans, kMostPages);
  for (auto& index : scans) wire.number(index, 0, static_cast<int>(kMostPages));
}

template <class Wire, class Failure>
void failed_fields(Wire& wire, Failure& failed) {
  wire.flag(failed.no_filter);
  wire.text(failed.detail, kLongestSentence);
}

bool write_all(int file, const void* data, std::size_t size) {
  const auto* at = static_cast<const char*>(data);
  while (size > 0) {
    const ssize_t written = write(file, at, size);
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    at += written;
    size -= static_cast<std::size_t>(written);
  }
  return true;
}

// The same at a place of its own, which several threads may do at the same time.
bool write_at(int file, const void* data, std::size_t size, std::size_t place) {
  const auto* at = static_cast<const char*>(data);
  while (size > 0) {
    const ssize_t written = pwrite(file, at, size, static_cast<off_t>(place));
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    at += written;
    place += static_cast<std::size_t>(written);
    size -= static_cast<std::size_t>(written);
  }
  return true;
}

WireWriter begun(Kind kind) {
  WireWriter wire;
  wire.number(static_cast<std::uint64_t>(kind), std::uint64_t{0}, std::uint64_t{0});
  return wire;
}

// Where a page's light begins: after the kind and the number of samples.
constexpr std::size_t kLightAt = 2 * sizeof(std::uint64_t);

bool begin_anew(int file) {
  return ftruncate(file, 0) == 0 && lseek(file, 0, SEEK_SET) == 0;
}

bool write_head(int file, const WireWriter& wire) {
  return begin_anew(file) && write_all(file, wire.bytes().data(), wire.bytes().size());
}

struct Writing {
  int file;
  bool operator()(const PageRaster& page) const {
    const bool lies_there = page.linear.empty();
    const std::size_t samples = lies_there ? area(page.blocks(), page.width_px) * 3 : page.linear.size();
    const auto end = static_cast<off_t>(kLightAt + samples * sizeof(std::uint16_t));
    if (lies_there) {
      if (lseek(file, 0, SEEK_END) != end || lseek(file, 0, SEEK_SET) != 0) return false;
    } else if (!begin_anew(file)) {
      return false;
    }
    WireWriter head = begun(Kind::page);
    head.count(samples);
    WireWriter fields;
    page_fields(fields, page);
    return write_all(file, head.bytes().data(), head.bytes().size()) &&
           write_all(file, page.linear.data(), page.linear.size() * sizeof(std::uint16_t)) &&
           lseek(file, end, SEEK_SET) == end && write_all(file, fields.bytes().data(), fields.bytes().size());
  }
  bool operator()(const Scans& scans) const {
    WireWriter wire = begun(Kind::scans);
    scan_fields(wire, scans);
    return write_head(file, wire);
  }
  bool operator()(const Problems& problems) const {
    WireWriter wire = begun(Kind::problems);
    problem_fields(wire, problems);
    return write_head(file, wire);
  }
  bool operator()(const Failed& failed) const {
    WireWriter wire = begun(Kind::failed);
    failed_fields(wire, failed);
    return write_head(file, wire);
  }
  bool operator()(const NeedsLibvips&) const { return write_head(file, begun(Kind::needs_libvips)); }
};

template <class Value, class Fields>
std::optional<Reply> taken(WireReader& wire, const Fields& fields) {
  Value value;
  fields(wire, value);
  return wire.at_end() ? std::optional<Reply>(std::move(value)) : std::nullopt;
}

// `whole` bytes from the file's place `at`.
bool read_at(int file, void* to, std::size_t whole, std::size_t at) {
  auto* out = static_cast<std::uint8_t*>(to);
  while (whole > 0) {
    const ssize_t got = scan::read_some(file, out, whole, at);
    if (got <= 0) return false;
    out += got;
    at += static_cast<std::size_t>(got);
    whole -= static_cast<std::size_t>(got);
  }
  return true;
}

// The light stays where it is: to be given memory for 31 MB and to copy them takes longer than to place a
// page.
std::optional<Light> read_light(int file, std::size_t samples) {
  const std::size_t bytes = kLightAt + samples * sizeof(std::uint16_t);
  void* const at = mmap(nullptr, bytes, PROT_READ, MAP_PRIVATE | MAP_POPULATE, file, 0);
  if (at == MAP_FAILED) return std::nullopt;
  const std::shared_ptr<void> mapped(at, [bytes](void* whole) { munmap(whole, bytes); });
  const auto* light =
      reinterpret_cast<const std::uint16_t*>(static_cast<const std::uint8_t*>(at) + kLightAt);
  return Light({mapped, light}, samples);
}

std::optional<Reply> read_page_reply(int file, std::size_t size) {
  std::uint64_t samples = 0;
  if (size < kLightAt || !read_at(file, &samples, sizeof samples, sizeof(std::uint64_t))) return std::nullopt;
  if (samples > (size - kLightAt) / sizeof(std::uint16_t)) return std::nullopt;
  const std::size_t end = kLightAt + samples * sizeof(std::uint16_t);
  std::vector<std::uint8_t> bytes(size - end);
  if (!read_at(file, bytes.data(), bytes.size(), end)) return std::nullopt;
  WireReader wire(bytes);
  PageRaster page;
  page_fields(wire, page);
  if (!wire.at_end() || samples != area(page.blocks(), page.width_px) * 3) return std::nullopt;
  auto light = read_light(file, samples);
  if (!light) return std::nullopt;
  page.linear = *std::move(light);
  return page;
}

}  // namespace

bool write_reply(int file, const Reply& reply) {
  return std::visit(Writing{file}, reply);
}

// Not mapped: memory that two processes share costs some systems ten times as much to fill for the first time
// as the copy does.
scan::PutLight room_for_light(int file, std::size_t samples) {
  const std::size_t bytes = kLightAt + samples * sizeof(std::uint16_t);
  rlimit most{};
  // Growing beyond the limit would not fail but end the process.
  if (getrlimit(RLIMIT_FSIZE, &most) != 0 || most.rlim_cur < bytes) return nullptr;
  if (ftruncate(file, static_cast<off_t>(bytes)) != 0) return nullptr;
  return [file](std::size_t at, std::span<const std::uint16_t> light) {
    if (!write_at(file, light.data(), light.size_bytes(), kLightAt + at * sizeof(std::uint16_t)))
      throw std::bad_alloc();
  };
}

std::optional<Reply> read_reply(int file) {
  struct stat about {};
  if (fstat(file, &about) != 0 || about.st_size < static_cast<off_t>(sizeof(std::uint64_t)))
    return std::nullopt;
  const auto size = static_cast<std::size_t>(about.st_size);
  std::uint64_t kind = 0;
  if (!read_at(file, &kind, sizeof kind, 0)) return std::nullopt;
  if (kind == static_cast<std::uint64_t>(Kind::page)) return read_page_reply(file, size);
  if (kind > static_cast<std::uint64_t>(Kind::needs_libvips) || size > kLargestWords) return std::nullopt;
  std::vector<std::uint8_t> bytes(size - sizeof kind);
  if (!read_at(file, bytes.data(), bytes.size(), sizeof kind)) return std::nullopt;
  WireReader wire(bytes);
  switch (static_cast<Kind>(kind)) {
    case Kind::scans:
      return taken<Scans>(wire, scan_fields<WireReader, Scans>);
    case Kind::problems:
      return taken<Problems>(wire, problem_fields<WireReader, Problems>);
    case Kind::failed:
      return taken<Failed>(wire, failed_fields<WireReader, Failed>);
    case Kind::needs_libvips:
      return taken<NeedsLibvips>(wire, [](auto&, auto&) {});
    case Kind::page:
      break;
  }
  return std::nullopt;
}

}  // namespace scrapetrace::sandbox
