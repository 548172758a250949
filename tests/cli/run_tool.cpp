#include "cli/run_tool.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <sstream>

namespace scrapetrace::cli {

namespace {

struct Folder {
  std::string path;
  Folder()
      : path((std::filesystem::temp_directory_path() / ("scrapetrace-cli-" + std::to_string(getpid())))
                 .string()) {
    std::filesystem::create_directories(path);
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
};

[[noreturn]] void become_tool(const std::vector<std::string>& arguments, const std::string& out,
                              const std::string& err) {
  std::vector<std::string> words{SCRAPETRACE_BINARY};
  words.insert(words.end(), arguments.begin(), arguments.end());
  std::vector<char*> argv;
  for (auto& word : words) argv.push_back(word.data());
  argv.push_back(nullptr);
  dup2(open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600), STDOUT_FILENO);
  dup2(open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600), STDERR_FILENO);
  execv(argv[0], argv.data());
  _exit(127);
}

}  // namespace

// Counts the tests as they begin: rounds of --gtest_repeat are tests of their own.
class Counter : public testing::EmptyTestEventListener {
 public:
  static int& begun() {
    static int number = 0;
    return number;
  }
  void OnTestStart(const testing::TestInfo&) override { ++begun(); }
};
const bool kCounted = [] {
  testing::UnitTest::GetInstance()->listeners().Append(new Counter);  // which gtest owns
  return true;
}();

std::string scratch() {
  static const Folder folder;
  std::string path = folder.path;
  if (kCounted && testing::UnitTest::GetInstance()->current_test_info() != nullptr)
    path += "/test" + std::to_string(Counter::begun());
  std::filesystem::create_directories(path);
  return path;
}

std::string source_path(const std::string& path) {
  return std::string(SCRAPETRACE_SOURCE_DIR) + "/" + path;
}

std::string slurp(const std::string& path) {
  std::ostringstream bytes;
  bytes << std::ifstream(path, std::ios::binary).rdbuf();
  return bytes.str();
}

Ran run_tool(const std::vector<std::string>& arguments) {
  const std::string out = scratch() + "/stdout";
  const std::string err = scratch() + "/stderr";
  const pid_t child = fork();
  if (child == 0) become_tool(arguments, out, err);
  int status = 0;
  waitpid(child, &status, 0);
  return {WIFEXITED(status) ? WEXITSTATUS(status) : -1, slurp(out), slurp(err)};
}

}  // namespace scrapetrace::cli
