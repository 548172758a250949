#include "cli/heap.h"

#include <malloc.h>
#include <sys/mman.h>
#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <memory>

#include "base/crew.h"

namespace scrapetrace::cli {

#ifdef __GLIBC__

namespace {

constexpr std::size_t kMegabyte = std::size_t{1} << 20U;
constexpr std::size_t kRoom = 32 * kMegabyte;  // addresses only: memory comes when it is used
constexpr std::size_t kLarge = 2 * kMegabyte;  // pages

void ask_for_large_pages(void* begin, std::size_t size) {
  if (std::align(kLarge, kLarge, begin, size) != nullptr)
    madvise(begin, size / kLarge * kLarge, MADV_HUGEPAGE);
}

// A thread has a heap of its own, which grows by small pages unless it has been large once. Its beginning,
// where it keeps its books, is in a small page already: what is left up to the first large one stays unused.
void prepare_thread_heap() {
  constexpr std::size_t kBooks = 64;  // bytes that the allocator may keep beside what it hands out
  void* const some = std::malloc(kRoom - kLarge);
  const std::size_t unused = kLarge - reinterpret_cast<std::uintptr_t>(some) % kLarge;
  std::free(some);
  void* const first = std::malloc(unused - kBooks);
  if (first == some) return ask_for_large_pages(first, kRoom - kLarge);
  std::free(first);
}

}  // namespace

void prepare_heap() {
  mallopt(M_MMAP_THRESHOLD, static_cast<int>(kRoom));
  mallopt(M_TRIM_THRESHOLD, static_cast<int>(8 * kRoom));
  mallopt(M_TOP_PAD, static_cast<int>(kRoom));
  void* const begin = sbrk(0);
  void* some = nullptr;
  if (posix_memalign(&some, kLarge, kLarge) != 0) return;  // makes the heap grow
  std::free(some);
  mallopt(M_TOP_PAD, static_cast<int>(kMegabyte));
  ask_for_large_pages(begin,
                      static_cast<std::size_t>(static_cast<char*>(sbrk(0)) - static_cast<char*>(begin)));
  Crew::prepare_threads_by(prepare_thread_heap);
}

#else

void prepare_heap() {}

#endif

}  // namespace scrapetrace::cli
