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

// Has the heap grow by `size`, and leaves what is left of the page that it has come to unused for good: what
// is handed out next begins a large page, but for what fits into gaps below. Returns where the heap goes on.
void* begin_large_page(std::size_t size) {
  constexpr std::size_t kBooks = 64;  // bytes that the allocator may keep beside what it hands out
  void* const end = std::malloc(size);
  const std::size_t left = kLarge - reinterpret_cast<std::uintptr_t>(end) % kLarge;
  std::free(end);
  if (left <= kBooks) return end;
  void* const unused = std::malloc(left - kBooks);
  if (unused != end) std::free(unused);
  return end;
}

// A thread has a heap of its own, which grows by small pages unless it has been large once. Its beginning,
// where the allocator keeps its books, is in a small page already.
void prepare_thread_heap() {
  constexpr std::size_t kSize = kRoom - kLarge;
  ask_for_large_pages(begin_large_page(kSize), kSize);
}

}  // namespace

void prepare_heap() {
  mallopt(M_MMAP_THRESHOLD, static_cast<int>(kRoom));
  mallopt(M_TRIM_THRESHOLD, static_cast<int>(8 * kRoom));
  mallopt(M_TOP_PAD, static_cast<int>(2 * kRoom));  // a page's light and what is taken beside it
  void* const begin = sbrk(0);
  void* volatile some = std::malloc(kMegabyte / 4);  // makes the heap grow
  std::free(some);
  mallopt(M_TOP_PAD, static_cast<int>(kMegabyte));
  ask_for_large_pages(begin,
                      static_cast<std::size_t>(static_cast<char*>(sbrk(0)) - static_cast<char*>(begin)));
  Crew::prepare_threads_by(prepare_thread_heap);
}

void leave_shared_pages() {
  begin_large_page(kLarge);
}

#else

void prepare_heap() {}
void leave_shared_pages() {}

#endif

}  // namespace scrapetrace::cli
