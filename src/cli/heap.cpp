#include "cli/heap.h"

#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>

#include <cstddef>
#include <cstdlib>
#include <memory>

namespace scrapetrace::cli {

#ifdef __GLIBC__

void prepare_heap() {
  constexpr std::size_t kMegabyte = std::size_t{1} << 20U;
  constexpr std::size_t kRoom = 32 * kMegabyte;  // address space only; memory is committed on use
  constexpr std::size_t kLarge = 2 * kMegabyte;  // pages
  mallopt(M_ARENA_MAX, 1);                       // per-thread arenas would grow by small pages
  mallopt(M_MMAP_THRESHOLD, static_cast<int>(kRoom));
  mallopt(M_TRIM_THRESHOLD, static_cast<int>(8 * kRoom));
  mallopt(M_TOP_PAD, static_cast<int>(2 * kRoom));  // a page's light and what is allocated beside it
  void* begin = sbrk(0);
  void* volatile some = std::malloc(kMegabyte / 4);  // makes the heap grow once
  std::free(some);
  mallopt(M_TOP_PAD, static_cast<int>(kMegabyte));
  auto size = static_cast<std::size_t>(static_cast<char*>(sbrk(0)) - static_cast<char*>(begin));
  if (std::align(kLarge, kLarge, begin, size) != nullptr)
    madvise(begin, size / kLarge * kLarge, MADV_HUGEPAGE);
}

#else

void prepare_heap() {}

#endif

}  // namespace scrapetrace::cli
