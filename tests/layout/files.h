#pragma once
// Files of the source tree for the tests of readers.

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "scrapetrace/read_files.h"

namespace scrapetrace::test {

inline std::filesystem::path source_dir() {
  return SCRAPETRACE_SOURCE_DIR;
}

inline std::string text_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) throw std::runtime_error("cannot open " + path.string());
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

// All *.toml of a folder by name; an empty or missing folder throws, so that no suite passes for want of
// files.
inline std::vector<std::filesystem::path> toml_files(const std::filesystem::path& folder) {
  std::vector<std::filesystem::path> out;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    if (entry.path().extension() == ".toml") out.push_back(entry.path());
  }
  if (out.empty()) throw std::runtime_error("no *.toml in " + folder.string());
  std::sort(out.begin(), out.end());
  return out;
}

inline std::string shown(const Problems& problems) {
  std::string out;
  for (const auto& problem : problems) out += to_string(problem) + "\n";
  return out;
}

// A layout of geometry/ that must be good.
inline Layout good_layout(const std::string& stem) {
  auto layout = layout::read_layout(text_of(source_dir() / "geometry" / (stem + ".toml")), stem);
  if (!layout) throw std::runtime_error(shown(layout.problems()));
  return *layout;
}

}  // namespace scrapetrace::test
