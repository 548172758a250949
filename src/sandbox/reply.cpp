#include "sandbox/reply.h"

#include <memory>
#include <mutex>
#include <new>
#include <span>
#include <utility>

#include "sandbox/light_memory.h"
#include "sandbox/pipe.h"
#include "sandbox/wire.h"

namespace scrapetrace::sandbox {

namespace {

constexpr int kLargestSide_px = 200000;
constexpr int kMostRowsPerBlock = 64;
constexpr std::size_t kMostSentences = 64;
constexpr std::size_t kLongestSentence = 2000;
constexpr std::size_t kMostPages = 100'000;
constexpr std::size_t kLargestWords = 1U << 20U;  // of any reply but a page
constexpr double kMostNumber = 1e18;
constexpr std::uint64_t kMostPixels = 1ULL << 40U;

enum class Kind : std::uint64_t {
  light_size = 1,
  light,
  page,
  scans,
  problems,
  out_of_memory,
  needs_libvips
};

// Header of every message. `first` and `second` are for a light announcement the blocks and samples per
// block, for light its first block.
struct Head {
  Kind kind;
  std::uint64_t bytes = 0;  // that follow
  std::uint64_t first = 0;
  std::uint64_t second = 0;
};

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

// Without the fields that straightening adds, and without light, which is sent before.
template <class Wire, class Page>
void page_fields(Wire& wire, Page& page) {
  wire.number(page.width_px, 1, kLargestSide_px);
  wire.number(page.height_px, 1, kLargestSide_px);
  wire.number(page.rows_per_block, 1, kMostRowsPerBlock);
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

bool write_message(int pipe, const Head& head, std::span<const std::uint8_t> bytes) {
  return write_all(pipe, {reinterpret_cast<const std::uint8_t*>(&head), sizeof head}, bytes);
}

bool write_message(int pipe, Kind kind, const WireWriter& wire) {
  const std::string& bytes = wire.bytes();
  return write_message(pipe, {kind, bytes.size()},
                       {reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}

bool write_light(int pipe, std::size_t block, std::span<const std::uint16_t> light) {
  return write_message(pipe, {Kind::light, light.size_bytes(), block},
                       {reinterpret_cast<const std::uint8_t*>(light.data()), light.size_bytes()});
}

struct Writing {
  int pipe;
  bool operator()(const PageRaster& page) const {
    const Head size{Kind::light_size, 0, static_cast<std::uint64_t>(page.blocks()), area(page.width_px, 3)};
    if (!page.linear.empty() &&
        !(write_message(pipe, size, {}) && write_light(pipe, 0, {page.linear.data(), page.linear.size()})))
      return false;
    WireWriter wire;
    page_fields(wire, page);
    return write_message(pipe, Kind::page, wire);
  }
  bool operator()(const Scans& scans) const {
    WireWriter wire;
    scan_fields(wire, scans);
    return write_message(pipe, Kind::scans, wire);
  }
  bool operator()(const Problems& problems) const {
    WireWriter wire;
    problem_fields(wire, problems);
    return write_message(pipe, Kind::problems, wire);
  }
  bool operator()(const OutOfMemory&) const { return write_message(pipe, Kind::out_of_memory, {}); }
  bool operator()(const NeedsLibvips&) const { return write_message(pipe, Kind::needs_libvips, {}); }
};

// Collects a page's light as it arrives.
class ArrivingLight {
 public:
  // False for impossible sizes. Throws std::bad_alloc when it exceeds the limit or the memory.
  bool begin(std::uint64_t blocks, std::uint64_t samples, double most_bytes) {
    if (blocks < 1 || blocks > kLargestSide_px || samples < 3 || samples / 3 > kLargestSide_px) return false;
    if (static_cast<double>(blocks * samples) * sizeof(std::uint16_t) > most_bytes) throw std::bad_alloc();
    memory_ = allocate_light(blocks * samples);
    if (!memory_) throw std::bad_alloc();
    samples_ = samples;
    there_.assign(blocks, false);
    missing_ = blocks;
    return true;
  }
  // The destination of so many bytes from that block on; empty when out of range.
  [[nodiscard]] std::span<std::uint8_t> place(std::uint64_t block, std::uint64_t bytes) {
    const std::uint64_t of_block = samples_ * sizeof(std::uint16_t);
    if (of_block == 0 || bytes % of_block != 0 || block >= there_.size()) return {};
    const std::uint64_t count = bytes / of_block;
    if (count > there_.size() - block) return {};
    for (std::uint64_t b = block; b < block + count; ++b) {
      if (there_[b]) return {};
      there_[b] = true;
    }
    missing_ -= count;
    return {reinterpret_cast<std::uint8_t*>(memory_.get() + block * samples_), bytes};
  }
  // Whether the light is complete and of this page's size.
  [[nodiscard]] bool fits(const PageRaster& page) const {
    return memory_ && missing_ == 0 && samples_ == area(page.width_px, 3) &&
           there_.size() == static_cast<std::size_t>(page.blocks());
  }
  // Upper limit for the overview: one byte per pixel.
  [[nodiscard]] std::size_t most_pixels() const { return there_.size() * (samples_ / 3) * kMostRowsPerBlock; }
  [[nodiscard]] Light take() { return {std::move(memory_), there_.size() * samples_}; }

 private:
  std::uint64_t samples_ = 0;  // per block
  std::vector<bool> there_;
  std::uint64_t missing_ = 0;
  std::shared_ptr<std::uint16_t> memory_;
};

template <class Value, class Fields>
std::optional<Reply> taken(std::span<const std::uint8_t> bytes, const Fields& fields) {
  WireReader wire(bytes);
  Value value;
  fields(wire, value);
  return wire.at_end() ? std::optional<Reply>(std::move(value)) : std::nullopt;
}

std::optional<Reply> page_of(std::span<const std::uint8_t> bytes, ArrivingLight& light) {
  auto reply = taken<PageRaster>(bytes, page_fields<WireReader, PageRaster>);
  if (!reply) return std::nullopt;
  auto& page = std::get<PageRaster>(*reply);
  if (!light.fits(page)) return std::nullopt;
  page.linear = light.take();
  return reply;
}

std::optional<Reply> reply_of(Kind kind, std::span<const std::uint8_t> bytes, ArrivingLight& light) {
  switch (kind) {
    case Kind::page:
      return page_of(bytes, light);
    case Kind::scans:
      return taken<Scans>(bytes, scan_fields<WireReader, Scans>);
    case Kind::problems:
      return taken<Problems>(bytes, problem_fields<WireReader, Problems>);
    case Kind::out_of_memory:
      return taken<OutOfMemory>(bytes, [](auto&, auto&) {});
    case Kind::needs_libvips:
      return taken<NeedsLibvips>(bytes, [](auto&, auto&) {});
    case Kind::light_size:
    case Kind::light:
      break;
  }
  return std::nullopt;
}

bool take_light(PipeReader& pipe, const Head& head, const ReplyLimits& limits, ArrivingLight& light) {
  if (head.kind == Kind::light_size)
    return head.bytes == 0 && light.begin(head.first, head.second, limits.bytes);
  const auto place = light.place(head.first, head.bytes);
  return !place.empty() && pipe.take(place);
}

}  // namespace

scan::LightSink remote_light_sink(int pipe, std::size_t blocks, std::size_t samples) {
  if (!write_message(pipe, {Kind::light_size, 0, blocks, samples}, {})) return nullptr;
  // Messages of several threads must not interleave.
  return
      [pipe, turn = std::make_shared<std::mutex>()](std::size_t block, std::span<const std::uint16_t> light) {
        const std::scoped_lock lock(*turn);
        if (!write_light(pipe, block, light)) throw std::bad_alloc();
      };
}

bool write_reply(int pipe, const Reply& reply) {
  return std::visit(Writing{pipe}, reply);
}

std::optional<Reply> read_reply(int pipe, const ReplyLimits& limits) {
  PipeReader reader(pipe, limits.until);
  ArrivingLight light;
  Head head{};
  try {
    for (;;) {
      if (!reader.take({reinterpret_cast<std::uint8_t*>(&head), sizeof head})) return std::nullopt;
      if (head.kind != Kind::light_size && head.kind != Kind::light) break;
      if (!take_light(reader, head, limits, light)) return std::nullopt;
    }
    const std::size_t picture = head.kind == Kind::page ? light.most_pixels() : 0;
    if (head.bytes > kLargestWords + picture) return std::nullopt;
    std::vector<std::uint8_t> bytes(head.bytes);
    if (!reader.take(bytes) || !reader.at_end()) return std::nullopt;
    return reply_of(head.kind, bytes, light);
  } catch (const std::bad_alloc&) {
    return OutOfMemory{true};
  }
}

}  // namespace scrapetrace::sandbox
