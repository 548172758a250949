#include "scan/simple_exif.h"

#include <cstddef>
#include <cstdint>
#include <set>

namespace scrapetrace::scan {

namespace {

using namespace std::string_view_literals;

enum ExifType : std::uint32_t { kShort = 3, kRational = 5 };

struct ExifEntry {
  std::uint32_t tag = 0;
  std::uint32_t type = 0;
  std::uint32_t count = 0;
  std::size_t at = 0;  // of its value
};

// Bytes of a value of each type.
std::optional<std::uint64_t> size_of_type(std::uint32_t type) {
  constexpr std::array<std::uint64_t, 13> kSizes{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8};
  return type > 0 && type < kSizes.size() ? std::optional(kSizes[type]) : std::nullopt;
}

class ExifReader {
 public:
  // `bytes` start with the byte order mark.
  explicit ExifReader(std::string_view bytes) : bytes_(bytes), big_(bytes.starts_with("MM")) {}

  [[nodiscard]] bool holds(std::size_t at, std::uint64_t size) const {
    return at <= bytes_.size() && size <= bytes_.size() - at;
  }
  [[nodiscard]] std::uint32_t number(std::size_t at, int bytes) const {
    std::uint32_t out = 0;
    for (int k = 0; k < bytes; ++k) {
      const int which = big_ ? k : bytes - 1 - k;
      out = out << 8U | static_cast<std::uint8_t>(bytes_[at + static_cast<std::size_t>(which)]);
    }
    return out;
  }
  [[nodiscard]] std::optional<ExifEntry> entry(std::size_t at) const {
    ExifEntry out{number(at, 2), number(at + 2, 2), number(at + 4, 4), at + 8};
    const auto one = size_of_type(out.type);
    if (!one || out.count == 0) return std::nullopt;
    const std::uint64_t size = *one * out.count;
    if (size > 4) out.at = number(at + 8, 4);
    return holds(out.at, size) ? std::optional(out) : std::nullopt;
  }

 private:
  std::string_view bytes_;
  bool big_;
};

struct ExifFacts {
  SimpleExif exif;
  std::uint32_t unit = 2;
};

// False when the entry has the wrong type or count.
bool take_entry(const ExifReader& reader, const ExifEntry& entry, ExifFacts& facts) {
  const bool is_short = entry.type == kShort && entry.count == 1;
  const auto rational = [&](double& out) {
    if (entry.type != kRational || entry.count != 1) return false;
    const std::uint32_t above = reader.number(entry.at, 4);
    const std::uint32_t below = reader.number(entry.at + 4, 4);
    out = below > 0 ? static_cast<double>(above) / below : 0;
    return (above | below) < 0x80000000;
  };
  switch (entry.tag) {
    case 0x0112: {
      const std::uint32_t orientation = is_short ? reader.number(entry.at, 2) : 0;
      facts.exif.orientation = static_cast<int>(orientation);
      return orientation >= 1 && orientation <= 8;
    }
    case 0x011A:
      return rational(facts.exif.px_per_mm[0]);
    case 0x011B:
      return rational(facts.exif.px_per_mm[1]);
    case 0x0128:
      facts.unit = is_short ? reader.number(entry.at, 2) : 0;
      return facts.unit == 2 || facts.unit == 3;
    default:
      return true;
  }
}

}  // namespace

std::optional<SimpleExif> read_simple_exif(std::string_view segment) {
  constexpr std::size_t kMostEntries = 64;
  if (!segment.starts_with("Exif\0\0"sv)) return std::nullopt;
  const std::string_view bytes = segment.substr(6);
  if (!bytes.starts_with("II\x2a\0"sv) && !bytes.starts_with("MM\0\x2a"sv)) return std::nullopt;
  const ExifReader reader(bytes);
  if (!reader.holds(4, 4)) return std::nullopt;
  const std::size_t first = reader.number(4, 4);
  if (first < 8 || !reader.holds(first, 2)) return std::nullopt;
  const std::size_t count = reader.number(first, 2);
  if (count > kMostEntries || !reader.holds(first + 2, 12 * count + 4)) return std::nullopt;
  ExifFacts facts;
  std::set<std::uint32_t> seen;
  for (std::size_t k = 0; k < count; ++k) {
    const auto entry = reader.entry(first + 2 + 12 * k);
    if (!entry || !seen.insert(entry->tag).second || !take_entry(reader, *entry, facts)) return std::nullopt;
  }
  for (double& value : facts.exif.px_per_mm) value /= facts.unit == 3 ? 10.0 : 25.4;
  return facts.exif;
}

}  // namespace scrapetrace::scan
