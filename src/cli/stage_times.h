#pragma once
// Records start and end of the stages of a run, for --trace.

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
  // Time 0 is the process's start, estimated from its processor time.
  StageTimes();
  void begin(const char* name) override;
  void end() override;
  // Finished stages by start time.
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
