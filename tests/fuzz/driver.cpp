// Fuzzing without libFuzzer, blind but the same every time: seeds as they are, then spoilt in the usual ways.
// Usage: NAME SECONDS SEED_FOLDER... The bytes of the attempt under way stand in ./NAME.attempt if it dies.

#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <random>
#include <string>
#include <vector>

#include "fuzz/target.h"

namespace {

namespace fs = std::filesystem;
using scrapetrace::fuzz::take;

constexpr std::size_t kMostBytes = 1U << 20U;

// A file in shared memory, so that what is in it outlives the process.
class Attempt {
 public:
  explicit Attempt(const std::string& path)
      : path_(path), file_(open(path.c_str(), O_RDWR | O_CREAT | O_TRUNC, 0600)) {}
  ~Attempt() {
    close(file_);
    unlink(path_.c_str());
  }
  Attempt(const Attempt&) = delete;
  Attempt& operator=(const Attempt&) = delete;
  void make(const std::string& bytes) const {
    if (ftruncate(file_, 0) == 0 && pwrite(file_, bytes.data(), bytes.size(), 0) >= 0) take(bytes);
  }

 private:
  std::string path_;
  int file_;
};

std::vector<std::string> seeds_in(const std::vector<std::string>& folders) {
  std::vector<std::string> paths;
  for (const auto& folder : folders) {
    for (const auto& entry : fs::directory_iterator(folder)) {
      if (entry.is_regular_file() && entry.file_size() <= kMostBytes) paths.push_back(entry.path().string());
    }
  }
  std::sort(paths.begin(), paths.end());
  std::vector<std::string> seeds;
  for (const auto& path : paths) {
    std::ifstream file(path, std::ios::binary);
    seeds.emplace_back(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>());
  }
  return seeds;
}

void spoil(std::string& bytes, const std::vector<std::string>& seeds, std::mt19937& random) {
  const std::size_t at = bytes.empty() ? 0 : random() % bytes.size();
  const std::size_t some = 1 + random() % 16;
  const std::string& other = seeds[random() % seeds.size()];
  switch (random() % 7) {
    case 0:
      if (!bytes.empty()) bytes[at] = static_cast<char>(bytes[at] ^ (1U << (random() % 8)));
      return;
    case 1:
      if (!bytes.empty()) bytes[at] = static_cast<char>(random());
      return;
    case 2:
      bytes.erase(std::min(at, bytes.size()), some);
      return;
    case 3:
      bytes.insert(at, some, static_cast<char>(random()));
      return;
    case 4:  // a piece of another
      bytes.insert(at, other.substr(other.empty() ? 0 : random() % other.size(), some * 8));
      return;
    case 5:  // a piece again
      bytes.insert(at, bytes.substr(at, some * 8));
      return;
    default:  // a number at its limit
      for (std::size_t k = at; k < std::min(at + 4, bytes.size()); ++k)
        bytes[k] = random() % 2 == 0 ? '\xff' : '\0';
  }
}

}  // namespace

int main(int argc, char** argv) {
  const std::vector<std::string> words(argv, argv + argc);
  if (words.size() < 3) return 2;
  const auto end = std::chrono::steady_clock::now() + std::chrono::duration<double>(std::stod(words[1]));
  const auto seeds = seeds_in({words.begin() + 2, words.end()});
  if (seeds.empty()) return 2;
  const fs::path program = words[0];
  const Attempt attempt(program.filename().string() + ".attempt");
  for (const auto& seed : seeds) attempt.make(seed);
  std::mt19937 random(1);
  std::size_t made = 0;
  for (; std::chrono::steady_clock::now() < end; ++made) {
    std::string bytes = seeds[random() % seeds.size()];
    for (unsigned k = 1 + random() % 4; k > 0; --k) spoil(bytes, seeds, random);
    attempt.make(bytes);
  }
  std::printf("%zu seeds, %zu attempts\n", seeds.size(), made);
  return 0;
}
