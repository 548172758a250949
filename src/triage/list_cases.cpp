#include "triage/list_cases.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <istream>

namespace scrapetrace::triage {

namespace {

namespace fs = std::filesystem;

bool is_scan(const fs::path& path) {
  static constexpr std::array<std::string_view, 10> kSuffixes{".tif",  ".tiff", ".png",  ".jpg",  ".jpeg",
                                                              ".webp", ".pdf",  ".heic", ".heif", ".avif"};
  std::string suffix = path.extension().string();
  std::transform(suffix.begin(), suffix.end(), suffix.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return std::find(kSuffixes.begin(), kSuffixes.end(), suffix) != kSuffixes.end();
}

// True when the entry, its links followed, lies below the root.
bool stays_inside(const fs::path& entry, const fs::path& root) {
  std::error_code error;
  const fs::path target = fs::canonical(entry, error);
  if (error) return false;
  return std::mismatch(root.begin(), root.end(), target.begin(), target.end()).first == root.end();
}

constexpr std::size_t kLongestLine = 8192;
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";  // some editors begin UTF-8 with it

// False at the end. A line that is longer than allowed is not `whole`: reading stops within it.
bool take_line(std::istream& lines, std::string& line, bool& whole) {
  line.clear();
  char c = 0;
  while (lines.get(c)) {
    if (c == '\n') return true;
    if (line.size() == kLongestLine) {
      whole = false;
      return true;
    }
    line += c;
  }
  return !line.empty();
}

}  // namespace

std::string case_of(const std::string& file) {
  std::string stem = fs::path(file).stem().string();
  const auto mark = stem.find_last_of("-_");
  if (mark == std::string::npos || mark == 0 || mark + 1 == stem.size()) return stem;
  const bool digits = std::all_of(stem.begin() + static_cast<std::ptrdiff_t>(mark) + 1, stem.end(),
                                  [](unsigned char c) { return std::isdigit(c) != 0; });
  return digits ? stem.substr(0, mark) : stem;
}

Result<FolderListing> list_folder(const std::string& folder, const Listed& listed) {
  std::error_code error;
  const fs::path root = fs::canonical(folder, error);
  if (error) return Problem{folder, 0, 0, "cannot be read: " + error.message() + "; check the name"};
  FolderListing listing;
  fs::recursive_directory_iterator entry(root, error);
  if (error) return Problem{folder, 0, 0, "cannot be read: " + error.message()};
  for (const fs::recursive_directory_iterator end; entry != end; entry.increment(error)) {
    const fs::path& path = entry->path();
    const fs::path relative = path.lexically_relative(root);
    if (entry->is_symlink(error) && !stays_inside(path, root)) {
      listing.passed_over.push_back(
          {relative.string(), 0, 0,
           "is a link that leads out of the folder and was not followed; put the file itself there"});
      continue;
    }
    if (!is_scan(path) || !entry->is_regular_file(error)) continue;
    const bool in_subfolder = relative.has_parent_path();
    listed(in_subfolder ? relative.begin()->string() : case_of(relative.string()), relative.string());
  }
  if (error) return Problem{folder, 0, 0, "cannot be read to its end: " + error.message()};
  return listing;
}

Problems list_manifest(std::istream& lines, const std::string& manifest, const Listed& listed) {
  Problems problems;
  int number = 0;
  std::string line;
  for (bool whole = true; take_line(lines, line, whole);) {
    ++number;
    if (!whole || line.find('\0') != std::string::npos) {
      problems.push_back(
          {manifest, number, 1,
           "is no line of a manifest: a line holds at most 8192 bytes and no zero byte; check that it is "
           "the right file"});
      return problems;
    }
    if (number == 1 && line.starts_with(kByteOrderMark)) line.erase(0, kByteOrderMark.size());
    if (!line.empty() && line.back() == '\r') line.pop_back();
    if (line.empty() || line.front() == '#') continue;
    const auto tab = line.find('\t');
    const std::string file = tab == std::string::npos ? line : line.substr(tab + 1);
    const std::string name = tab == std::string::npos ? case_of(file) : line.substr(0, tab);
    if (name.empty() || file.empty() || file.find('\t') != std::string::npos) {
      problems.push_back(
          {manifest, number, 1, "is no line of a manifest; write CASE, a tab and FILE, or FILE alone"});
      continue;
    }
    listed(name, file);
  }
  return problems;
}

}  // namespace scrapetrace::triage
