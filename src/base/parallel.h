#pragma once
// Parallel loops.

#include <array>
#include <cstddef>
#include <functional>

namespace scrapetrace {

// The number of threads that `wanted` stands for; 0 means one per hardware thread.
std::size_t thread_count(int wanted);

// Calls work(0) .. work(n - 1), each once, on up to thread_count(threads) threads including this one. Calls
// must not share data that any of them changes. An exception ends the loop after the calls under way and is
// rethrown here.
void for_each_part(std::size_t n, int threads, const std::function<void(std::size_t)>& work);

// The same for small parts: calls work(from, to) for consecutive ranges of `length` parts. The ranges do not
// depend on the number of threads.
void for_each_stretch(std::size_t n, std::size_t length, int threads,
                      const std::function<void(std::size_t, std::size_t)>& work);

// Calls each of a few functions once, in parallel.
template <class... Works>
void side_by_side(int threads, const Works&... works) {
  const std::array<std::function<void()>, sizeof...(works)> parts{std::cref(works)...};
  for_each_part(parts.size(), threads, [&](std::size_t k) { parts[k](); });
}

}  // namespace scrapetrace
