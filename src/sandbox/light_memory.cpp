#include "sandbox/light_memory.h"

#include <sys/mman.h>

#include <cstdlib>

namespace scrapetrace::sandbox {

// In huge pages where the system has them. From the heap, so that touched pages are reused.
std::shared_ptr<std::uint16_t> allocate_light(std::size_t samples) {
  constexpr std::size_t kLarge = std::size_t{2} << 20U;
  const std::size_t bytes = samples * sizeof(std::uint16_t);
  const std::size_t whole = (bytes + kLarge - 1) / kLarge * kLarge;
  void* const memory = bytes < kLarge ? std::malloc(bytes) : std::aligned_alloc(kLarge, whole);
  if (memory == nullptr) return nullptr;
  if (bytes >= kLarge) madvise(memory, whole, MADV_HUGEPAGE);
  return {static_cast<std::uint16_t*>(memory), std::free};
}

}  // namespace scrapetrace::sandbox
