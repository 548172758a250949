#include "scan/page_name.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <numeric>
#include <regex>

#include "document/scanned_page.h"
#include "scan/by_libvips.h"
#include "scan/open_page.h"
#include "scan/open_plain_page.h"

namespace scrapetrace::scan {

namespace {

constexpr double kPreview = 0.51;  // of the first page's sides: a preview, not a scan
constexpr double kSameShape = 0.02;

std::string name_of(const std::string& file, int index) {
  return file + "[" + std::to_string(index + 1) + "]";
}

bool is_smaller_copy(const std::array<int, 2>& page, const std::array<int, 2>& first) {
  const double across = static_cast<double>(page[0]) / first[0];
  const double along = static_cast<double>(page[1]) / first[1];
  return across < kPreview && along < kPreview && std::abs(across / along - 1) < kSameShape;
}

// `size_of_page` returns columns and rows of a page, or nothing.
template <class SizeOfPage>
std::vector<int> scans_in_tiff(int pages, SizeOfPage size_of_page) {
  std::vector<int> scans;
  std::array<int, 2> first{};
  for (int index = 0; index < pages; ++index) {
    const std::optional<std::array<int, 2>> size = size_of_page(index);
    if (index == 0 && size) first = *size;
    // A page with an unreadable header is listed too: reading it reports why.
    if (index > 0 && size && first[0] > 0 && is_smaller_copy(*size, first)) continue;
    scans.push_back(index);
  }
  return scans;
}

Result<int> count(const ScanFile& file, Format format) {
  if (format == Format::pdf) return document::count_pages(file.name(), stream_of(file).get());
  return format == Format::tiff ? tiff_pages(file) : 1;
}

Result<std::vector<int>> list_scans(const ScanFile& file, const ReadLimits& limits) {
  if (const auto sizes = plain_tiff_sizes(file, limits.pages)) {
    return scans_in_tiff(static_cast<int>(sizes->size()),
                         [&](int index) { return (*sizes)[static_cast<std::size_t>(index)]; });
  }
  const auto format = format_of(file);
  if (!format) return format.problems();
  const auto pages = count(file, *format);
  if (!pages) return pages.problems();
  if (*pages > limits.pages) {
    return Problem{file.name(), 0, 0,
                   "has " + std::to_string(*pages) + " pages; at most " + std::to_string(limits.pages) +
                       " are taken; name those that are scans, like " + name_of(file.name(), 0) +
                       ", or raise --most-pages"};
  }
  if (*format == Format::tiff)
    return scans_in_tiff(std::max(1, *pages), [&](int index) { return page_size(file, index); });
  if (*pages < 1) return Problem{file.name(), 0, 0, "has no page; give the scan itself"};
  std::vector<int> scans(static_cast<std::size_t>(*pages));
  std::iota(scans.begin(), scans.end(), 0);
  return scans;
}

}  // namespace

PageName page_named(const std::string& name) {
  static const std::regex with_page(R"((.+)\[([1-9][0-9]{0,5})\])");
  std::error_code error;
  std::smatch parts;
  if (std::filesystem::exists(name, error) || !std::regex_match(name, parts, with_page)) return {name, 0};
  return {parts[1].str(), std::stoi(parts[2].str()) - 1};
}

Result<std::vector<int>> scans_in(const ScanFile& file, const ReadLimits& limits) {
  return by_libvips(file, [&] { return list_scans(file, limits); });
}

std::vector<std::string> names_of(const std::string& name, const std::vector<int>& scans) {
  // A file's own name means its first page.
  if (scans.size() == 1 && scans.front() == 0) return {name};
  std::vector<std::string> names;
  for (const int index : scans) names.push_back(name_of(name, index));
  return names;
}

Result<std::vector<std::string>> pages_of(const std::string& name, const ReadLimits& limits) {
  const PageName asked = page_named(name);
  const auto file = ScanFile::open(asked.file, limits);
  if (!file) return file.problems();
  if (asked.file != name) return std::vector<std::string>{name};
  const auto scans = scans_in(*file, limits);
  if (!scans) return scans.problems();
  return names_of(name, *scans);
}

}  // namespace scrapetrace::scan
