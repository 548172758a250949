#include "press/bands.h"

#include <algorithm>
#include <future>
#include <thread>
#include <vector>

namespace scrapetrace::press {

void for_each_band(int rows, int threads, const std::function<void(int, int)>& work) {
  const int machine = static_cast<int>(std::max(1U, std::thread::hardware_concurrency()));
  const int bands = std::clamp(threads > 0 ? threads : machine, 1, std::max(1, rows));
  if (bands == 1) return work(0, rows);
  std::vector<std::future<void>> running;
  for (int i = 0; i < bands; ++i) {
    const int from = static_cast<int>(static_cast<long long>(rows) * i / bands);
    const int to = static_cast<int>(static_cast<long long>(rows) * (i + 1) / bands);
    running.push_back(std::async(std::launch::async, work, from, to));
  }
  for (auto& band : running) band.wait();
  for (auto& band : running) band.get();
}

}  // namespace scrapetrace::press
