#pragma once
// A folder for scans, and words of what went wrong with one.

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "sandbox/page_reader.h"
#include "sandbox/sanitized.h"

namespace scrapetrace::sandbox {

class SandboxTest : public ::testing::Test {
 protected:
  void SetUp() override { std::filesystem::create_directories(folder_); }
  void TearDown() override { std::filesystem::remove_all(folder_); }
  [[nodiscard]] std::string path(const std::string& name) const { return (folder_ / name).string(); }
  std::string put(const std::string& name, const std::string& bytes) {
    std::ofstream(path(name), std::ios::binary) << bytes;
    return path(name);
  }
  static std::string slurp(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
  }
  // Empty when there is none.
  template <class Value>
  static std::string problem_of(const Result<Value>& result) {
    return result.ok() ? "" : to_string(result.problems().front());
  }

  std::filesystem::path folder_ =
      std::filesystem::temp_directory_path() / ("sandbox_test_" + std::to_string(getpid()));
};

}  // namespace scrapetrace::sandbox
