#include "base/memory_limit.h"

#include <gtest/gtest.h>
#include <sys/mman.h>

#include <chrono>
#include <cstring>
#include <new>

#include "base/parallel.h"
#include "base/time_limit.h"

namespace scrapetrace {
namespace {

constexpr std::size_t kMegabyte = 1 << 20;

// Memory from the system itself, so that it is gone when it is given back.
class Held {
 public:
  explicit Held(std::size_t size)
      : size_(size), at_(mmap(nullptr, size, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0)) {
    std::memset(at_, 1, size);
  }
  Held(const Held&) = delete;
  Held& operator=(const Held&) = delete;
  ~Held() { munmap(at_, size_); }

 private:
  std::size_t size_;
  void* at_;
};

int parts_done(int threads) {
  int parts = 0;
  for_each_part(1, threads, [&](std::size_t) { ++parts; });
  return parts;
}

TEST(MemoryLimit, EndsWorkThatHasATimeLimitWhileItIsOver) {
  limit_memory(64.0 * kMegabyte);
  {
    const TimeLimit hour(std::chrono::steady_clock::now() + std::chrono::hours(1));
    EXPECT_EQ(parts_done(2), 1);
    const Held much(128 * kMegabyte);
    limit_memory(0);
    EXPECT_EQ(parts_done(2), 1);
  }
  limit_memory(64.0 * kMegabyte);
  {
    const Held much(128 * kMegabyte);
    EXPECT_EQ(parts_done(2), 1) << "without a TimeLimit";
    const TimeLimit hour(std::chrono::steady_clock::now() + std::chrono::hours(1));
    EXPECT_THROW(parts_done(2), std::bad_alloc);
  }
  limit_memory(0);
}

}  // namespace
}  // namespace scrapetrace
