#include "base/memory_limit.h"

#include <unistd.h>

#include <atomic>
#include <chrono>
#include <cstdio>
#include <limits>
#include <new>

namespace scrapetrace {

namespace {

constexpr double kNone = std::numeric_limits<double>::infinity();
constexpr long long kPause_ns = 2'000'000;

std::atomic<double> most_bytes = kNone;
std::atomic<long long> next_look_ns = 0;

// Resident private bytes of this process; 0 when unknown.
double bytes_held() {
  std::FILE* const file = std::fopen("/proc/self/statm", "r");
  if (file == nullptr) return 0;
  long resident = 0;
  long shared = 0;
  const int got = std::fscanf(file, "%*d %ld %ld", &resident, &shared);
  std::fclose(file);
  return got == 2 ? static_cast<double>(resident - shared) * static_cast<double>(sysconf(_SC_PAGESIZE)) : 0;
}

}  // namespace

void limit_memory(double bytes) {
  most_bytes = bytes > 0 ? bytes_held() + bytes : kNone;
  next_look_ns = 0;
}

void check_memory() {
  if (most_bytes == kNone) return;
  const long long now = std::chrono::steady_clock::now().time_since_epoch().count();
  if (now < next_look_ns) return;
  next_look_ns = now + kPause_ns;
  if (bytes_held() > most_bytes) throw std::bad_alloc();
}

}  // namespace scrapetrace
