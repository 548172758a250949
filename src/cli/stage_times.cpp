#include "cli/stage_times.h"

#include <algorithm>
#include <ctime>

namespace scrapetrace::cli {

namespace {

double busy_us() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return 1e6 * static_cast<double>(now.tv_sec) + 1e-3 * static_cast<double>(now.tv_nsec);
}

}  // namespace

StageTimes::StageTimes() {
  const double used_us = 1e6 * static_cast<double>(std::clock()) / CLOCKS_PER_SEC;
  start_ = std::chrono::steady_clock::now() - std::chrono::duration_cast<std::chrono::steady_clock::duration>(
                                                  std::chrono::duration<double, std::micro>(used_us));
  ended_.push_back({"start program", 0, 0, used_us, used_us});
  threads_.try_emplace(std::this_thread::get_id(), Thread{0, {}});
}

double StageTimes::now_us() const {
  return std::chrono::duration<double, std::micro>(std::chrono::steady_clock::now() - start_).count();
}

void StageTimes::begin(const char* name) {
  const double now = now_us();
  const std::scoped_lock lock(mutex_);
  auto& thread =
      threads_.try_emplace(std::this_thread::get_id(), Thread{static_cast<int>(threads_.size()), {}})
          .first->second;
  thread.open.push_back({name, thread.number, now, 0, busy_us()});
}

void StageTimes::end() {
  const double busy = busy_us();
  const double now = now_us();
  const std::scoped_lock lock(mutex_);
  auto& open = threads_.at(std::this_thread::get_id()).open;
  open.back().length_us = now - open.back().start_us;
  open.back().busy_us = busy - open.back().busy_us;
  ended_.push_back(std::move(open.back()));
  open.pop_back();
}

std::vector<report::StageTime> StageTimes::ended() const {
  const std::scoped_lock lock(mutex_);
  auto out = ended_;
  std::stable_sort(out.begin(), out.end(), [](const report::StageTime& a, const report::StageTime& b) {
    return a.start_us < b.start_us;
  });
  return out;
}

}  // namespace scrapetrace::cli
