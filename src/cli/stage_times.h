#pragma once
// Writes down when the stages of a run begin and end, for --trace.

#include <chrono>
#include <map>
#include <mutex>
#include <thread>
#include <vector>

#include "report/trace_json.h"
#include "scrapetrace/stages.h"

namespace scrapetrace::cli {

class StageTimes : public StageListener {
 public:
  // Time counts from the process's start, as near as its processor time tells.
  StageTimes();
  void begin(const char* name) override;
  void end() override;
  // Ended stages, by their start.
  [[nodiscard]] std::vector<report::StageTime> ended() const;

 private:
  struct Thread {
    int number;
    std::vector<report::StageTime> open;
  };
  [[nodiscard]] double now_us() const;

  std::chrono::steady_clock::time_point start_;
  mutable std::mutex mutex_;
  std::map<std::thread::id, Thread> threads_;
  std::vector<report::StageTime> ended_;
};

}  // namespace scrapetrace::cli
