#include "score/run_cases.h"

#include <algorithm>
#include <atomic>
#include <future>
#include <mutex>

namespace scrapetrace::score {

void run_cases(const std::vector<ScoreMachine>& machines, const ScoreOptions& options,
               const std::vector<int>& indices, int jobs, const std::function<void(CaseRecord)>& on_record) {
  std::atomic<std::size_t> next{0};
  std::atomic<bool> stopped{false};
  std::mutex handing_over;
  const auto work = [&] {
    try {
      for (std::size_t k = next++; k < indices.size() && !stopped; k = next++) {
        CaseRecord record = score_case(machines, options, indices[k]);
        const std::lock_guard<std::mutex> lock(handing_over);
        on_record(std::move(record));
      }
    } catch (...) {
      stopped = true;
      throw;
    }
  };
  std::vector<std::future<void>> workers;
  for (int k = 0; k < std::max(1, jobs); ++k) workers.push_back(std::async(std::launch::async, work));
  for (auto& worker : workers) worker.wait();
  for (auto& worker : workers) worker.get();
}

}  // namespace scrapetrace::score
