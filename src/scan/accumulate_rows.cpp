#include "scan/accumulate_rows.h"

#include <atomic>

#include "base/parallel.h"
#include "scan/object_pool.h"

namespace scrapetrace::scan {

bool accumulate_rows(PageDecoder& decoder, int height_px, int threads, PageSums& sums) {
  const int step_px = sums.step_px();
  std::vector<int> rows = step_px > 0 ? decoder.stretches(step_px, threads) : std::vector<int>{0};
  const std::size_t stretches = rows.size();
  rows.push_back(height_px);
  if (stretches == 1) {
    const bool whole = decoder.decode(0, height_px, [&](const Rows& some) { sums.add(some); });
    sums.finish();
    return whole;
  }
  ObjectPool<PageSums> others([&] { return sums.another(); });
  std::atomic<bool> whole{true};
  for_each_part(stretches, threads, [&](std::size_t i) {
    if (!whole) return;
    auto own = others.acquire();
    own->move_to(rows[i]);
    if (!decoder.decode(rows[i], rows[i + 1], [&](const Rows& some) { own->add(some); })) whole = false;
    own->finish();
    others.release(std::move(own));
  });
  for (const auto& other : others.idle()) sums.join(*other);
  return whole;
}

}  // namespace scrapetrace::scan
