#include "cli/contents.h"

#include <fmt/format.h>

#include "cli/standard_input.h"
#include "hash/sha256.h"
#include "scan/page_name.h"

namespace scrapetrace::cli {

namespace {

// Whether `one` shows everything that `two` shows.
bool covers(const HeldScan& one, const HeldScan& two) {
  if (one.sha256.empty() || one.sha256 != two.sha256) return false;
  const auto page_one = scan::page_named(one.name);
  const auto page_two = scan::page_named(two.name);
  const bool whole = page_one.file == one.name;
  return whole || (page_two.file != two.name && page_one.index == page_two.index);
}

bool is_scan(const report::InputFile& file) {
  return file.role.starts_with("scan") || file.role.starts_with("before") || file.role.starts_with("after");
}

std::string complaint(const report::InputFile& file, const report::InputFile& other) {
  const bool before_and_after = file.role.starts_with("before") != other.role.starts_with("before");
  return fmt::format("holds the same bytes as {}; {}", other.name,
                     before_and_after ? "name a scan from before the work and one from after it"
                                      : "it would count twice: give each scan once");
}

}  // namespace

Result<std::string> contents_hash(const std::string& name) {
  const auto path = path_read(name);
  return path ? hash::sha256_of_file(scan::page_named(*path).file) : path;
}

std::vector<Copy> copies_among(const std::vector<HeldScan>& scans) {
  std::vector<Copy> copies;
  for (std::size_t i = 0; i < scans.size(); ++i) {
    for (std::size_t k = 0; k < scans.size(); ++k) {
      if (k == i || !covers(scans[k], scans[i]) || (k > i && covers(scans[i], scans[k]))) continue;
      copies.push_back({i, k});
      break;
    }
  }
  return copies;
}

Problems same_scans(const report::Origin& origin) {
  std::vector<const report::InputFile*> files;
  std::vector<HeldScan> scans;
  for (const auto& file : origin.files) {
    if (!is_scan(file)) continue;
    files.push_back(&file);
    scans.push_back({file.name, file.sha256});
  }
  Problems problems;
  for (const Copy& copy : copies_among(scans))
    problems.push_back({files[copy.scan]->name, 0, 0, complaint(*files[copy.scan], *files[copy.same_as])});
  return problems;
}

}  // namespace scrapetrace::cli
