#include "sandbox/light_memory.h"

#include <sys/mman.h>

#include <cstdlib>

namespace scrapetrace::sandbox {

// In large pages, where the system has any. From the heap, so that it serves for something else later: what
// has been touched once is not dear any more.
std::shared_ptr<std::uint16_t> memory_for_light(std::size_t samples) {
  constexpr std::size_t kLarge = std::size_t{2} << 20U;
  const std::size_t bytes = samples * sizeof(std::uint16_t);
  const std::size_t whole = (bytes + kLarge - 1) / kLarge * kLarge;
  void* const memory = bytes < kLarge ? std::malloc(bytes) : std::aligned_alloc(kLarge, whole);
  if (memory == nullptr) return nullptr;
  if (bytes >= kLarge) madvise(memory, whole, MADV_HUGEPAGE);
  return {static_cast<std::uint16_t*>(memory), std::free};
}

}  // namespace scrapetrace::sandbox
