#include "cli/heap.h"

#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <memory>

namespace scrapetrace::cli {

void prepare_heap() {
#ifdef __GLIBC__
  constexpr int kMegabyte = 1 << 20;
  constexpr int kRoom = 32 * kMegabyte;  // addresses only: memory comes when it is used
  constexpr std::size_t kLarge = std::size_t{2} * kMegabyte;
  mallopt(M_MMAP_THRESHOLD, kRoom);
  mallopt(M_TRIM_THRESHOLD, 8 * kRoom);
  mallopt(M_TOP_PAD, kRoom);
  void* begin = sbrk(0);
  void* some = nullptr;
  if (posix_memalign(&some, kLarge, kLarge) != 0) return;  // makes the heap grow
  std::free(some);
  mallopt(M_TOP_PAD, kMegabyte);
  auto size = static_cast<std::size_t>(reinterpret_cast<std::uintptr_t>(sbrk(0)) -
                                       reinterpret_cast<std::uintptr_t>(begin));
  if (std::align(kLarge, kLarge, begin, size) != nullptr)
    madvise(begin, size / kLarge * kLarge, MADV_HUGEPAGE);
#endif
}

}  // namespace scrapetrace::cli
