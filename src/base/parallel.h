#pragma once
// Work that falls into independent parts, on several threads.

#include <array>
#include <cstddef>
#include <functional>

namespace scrapetrace {

// How many threads `wanted` stands for: 0 is as many as the processor runs at once.
std::size_t thread_count(int wanted);

// Calls work(0) .. work(n - 1), each once, on up to thread_count(threads) threads, the calling one among
// them. Parts must share nothing that any of them changes; whoever needs an order keeps results by index.
// What a part throws is thrown here, after the parts under way are done; the others are then left out.
void for_each_part(std::size_t n, int threads, const std::function<void(std::size_t)>& work);

// The same for parts that are small: calls work(from, to) for stretches of [0, n), `length` parts each but
// the last, whatever the number of threads.
void for_each_stretch(std::size_t n, std::size_t length, int threads,
                      const std::function<void(std::size_t, std::size_t)>& work);

// The same for a few different pieces of work, each of which is called once.
template <class... Works>
void side_by_side(int threads, const Works&... works) {
  const std::array<std::function<void()>, sizeof...(works)> parts{std::cref(works)...};
  for_each_part(parts.size(), threads, [&](std::size_t k) { parts[k](); });
}

}  // namespace scrapetrace
