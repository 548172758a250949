#include "triage/list_cases.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <filesystem>
#include <istream>
#include <vector>

namespace scrapetrace::triage {

namespace {

namespace fs = std::filesystem;

// True when the entry, links resolved, lies below the root.
bool stays_inside(const fs::path& entry, const fs::path& root) {
  std::error_code error;
  const fs::path target = fs::canonical(entry, error);
  if (error) return false;
  return std::mismatch(root.begin(), root.end(), target.begin(), target.end()).first == root.end();
}

// Why a link is not followed; empty when it is.
std::string unfollowed(const fs::path& link, const fs::path& root) {
  std::error_code error;
  if (!fs::exists(link, error)) return "is a link to nothing";
  if (!stays_inside(link, root))
    return "is a link that leads out of the folder and was not followed; put the file itself there";
  return fs::is_directory(link, error) ? "is a link to another folder here, whose scans count where they are"
                                       : "";
}

// Visits a folder and everything below it.
class Walk {
 public:
  Walk(const fs::path& root, const Listed& listed) : root_(root), listed_(listed), folders_{root} {}
  void all() {
    while (!folders_.empty()) {
      const fs::path folder = std::move(folders_.back());
      folders_.pop_back();
      look_into(folder);
    }
  }

 private:
  void look_into(const fs::path& folder) {
    std::error_code error;
    fs::directory_iterator entry(folder, error);
    if (!error && entry == fs::directory_iterator() && folder != root_)
      hand_over(folder, Standing::empty, "is an empty folder");
    for (; !error && entry != fs::directory_iterator(); entry.increment(error)) look_at(*entry);
    if (error) hand_over(folder, Standing::no_file, "is a folder that cannot be read: " + error.message());
  }

  void look_at(const fs::directory_entry& entry) {
    std::error_code error;
    if (entry.is_symlink(error)) {
      if (auto why = unfollowed(entry.path(), root_); !why.empty())
        return hand_over(entry.path(), Standing::no_file, std::move(why));
    } else if (entry.is_directory(error)) {
      folders_.push_back(entry.path());
      return;
    }
    if (entry.is_regular_file(error)) return hand_over(entry.path(), Standing::found, "");
    hand_over(entry.path(), Standing::no_file, "is a pipe, a socket or a device");
  }

  void hand_over(const fs::path& path, Standing standing, std::string why) {
    const fs::path file = path == root_ ? fs::path(".") : path.lexically_relative(root_);
    std::error_code error;
    const bool folder =
        file.has_parent_path() || (!fs::is_symlink(path, error) && fs::is_directory(path, error));
    listed_(
        {folder ? file.begin()->string() : case_of(file.string()), file.string(), standing, std::move(why)});
  }

  const fs::path& root_;
  const Listed& listed_;
  std::vector<fs::path> folders_;  // still to visit
};

constexpr std::size_t kLongestLine = 8192;
constexpr std::string_view kByteOrderMark = "\xEF\xBB\xBF";  // some editors begin UTF-8 with it

// Reads a line; false at the end. A line above the limit is cut and not `whole`.
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

bool named_like_a_scan(const std::string& file) {
  static constexpr std::array<std::string_view, 11> kSuffixes{
      ".tif", ".tiff", ".png", ".jpg", ".jpeg", ".jfif", ".webp", ".pdf", ".heic", ".heif", ".avif"};
  std::string suffix = fs::path(file).extension().string();
  std::transform(suffix.begin(), suffix.end(), suffix.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return std::find(kSuffixes.begin(), kSuffixes.end(), suffix) != kSuffixes.end();
}

Problems list_folder(const std::string& folder, const Listed& listed) {
  std::error_code error;
  const fs::path root = fs::canonical(folder, error);
  if (error) return {{folder, 0, 0, "cannot be read: " + error.message() + "; check the name"}};
  const fs::directory_iterator first(root, error);
  if (error) return {{folder, 0, 0, "cannot be read: " + error.message()}};
  Walk(root, listed).all();
  return {};
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
    listed({name, file, Standing::named, {}});
  }
  return problems;
}

}  // namespace scrapetrace::triage
