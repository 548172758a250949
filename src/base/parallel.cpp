#include "base/parallel.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>

#include "base/thread_pool.h"
#include "base/time_limit.h"

namespace scrapetrace {

std::size_t thread_count(int wanted) {
  static const auto all = std::max<std::size_t>(1, std::thread::hardware_concurrency());
  return wanted > 0 ? static_cast<std::size_t>(wanted) : all;
}

void for_each_part(std::size_t n, int threads, const std::function<void(std::size_t)>& work) {
  std::atomic<std::size_t> next{0};
  std::mutex mutex;
  std::exception_ptr failure;
  const auto until = TimeLimit::of_thread();
  const auto take = [&] {
    const TimeLimit limit(until);
    for (std::size_t i = next++; i < n; i = next++) {
      try {
        TimeLimit::check();
        work(i);
      } catch (...) {
        next = n;
        const std::scoped_lock lock(mutex);
        if (!failure) failure = std::current_exception();
      }
    }
  };
  ThreadPool::of_process().run(take, std::max<std::size_t>(1, std::min(n, thread_count(threads))) - 1);
  if (failure) std::rethrow_exception(failure);
}

void for_each_stretch(std::size_t n, std::size_t length, int threads,
                      const std::function<void(std::size_t, std::size_t)>& work) {
  for_each_part((n + length - 1) / length, threads,
                [&](std::size_t stretch) { work(stretch * length, std::min(n, (stretch + 1) * length)); });
}

}  // namespace scrapetrace
