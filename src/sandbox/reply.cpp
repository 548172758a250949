#include "sandbox/reply.h"

#include <unistd.h>

#include <cerrno>
#include <string>
#include <utility>

#include "sandbox/wire.h"

namespace scrapetrace::sandbox {

namespace {

constexpr int kLargestSide_px = 200000;
constexpr std::size_t kMostSentences = 64;
constexpr std::size_t kLongestSentence = 2000;
constexpr std::size_t kMostPages = 100'000;
constexpr double kMostNumber = 1e18;
constexpr std::uint64_t kMostPixels = 1ULL << 40U;

enum class Kind : std::uint64_t { page = 1, scans = 2, problems = 3, failed = 4 };

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

// What straightening adds is not there yet. The light comes last, as it is the bulk of it.
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
  wire.align();
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

WireWriter begun(Kind kind) {
  WireWriter wire;
  wire.number(static_cast<std::uint64_t>(kind), std::uint64_t{0}, std::uint64_t{0});
  return wire;
}

bool write_head(int file, const WireWriter& wire) {
  return write_all(file, wire.bytes().data(), wire.bytes().size());
}

struct Writing {
  int file;
  bool operator()(const PageRaster& page) const {
    WireWriter wire = begun(Kind::page);
    page_fields(wire, page);
    wire.count(page.linear.size());
    return write_head(file, wire) &&
           write_all(file, page.linear.data(), page.linear.size() * sizeof(std::uint16_t));
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
};

template <class Value, class Fields>
std::optional<Reply> taken(WireReader& wire, const Fields& fields) {
  Value value;
  fields(wire, value);
  return wire.at_end() ? std::optional<Reply>(std::move(value)) : std::nullopt;
}

void light(WireReader& wire, PageRaster& page) {
  page_fields(wire, page);
  if (wire.ok()) wire.bulk(page.linear, area(page.blocks(), page.width_px) * 3);
}

}  // namespace

bool write_reply(int file, const Reply& reply) {
  return std::visit(Writing{file}, reply);
}

std::optional<Reply> read_reply(std::span<const std::uint8_t> bytes) {
  WireReader wire(bytes);
  std::uint64_t kind = 0;
  wire.number(kind, std::uint64_t{1}, std::uint64_t{4});
  if (!wire.ok()) return std::nullopt;
  switch (static_cast<Kind>(kind)) {
    case Kind::page:
      return taken<PageRaster>(wire, light);
    case Kind::scans:
      return taken<Scans>(wire, scan_fields<WireReader, Scans>);
    case Kind::problems:
      return taken<Problems>(wire, problem_fields<WireReader, Problems>);
    case Kind::failed:
      return taken<Failed>(wire, failed_fields<WireReader, Failed>);
  }
  return std::nullopt;
}

}  // namespace scrapetrace::sandbox
