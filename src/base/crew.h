#pragma once
// Threads that stay for the next piece of work: to start one takes longer than most pieces do.

#include <atomic>
#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace scrapetrace {

class Crew {
 public:
  // The one of this process. A process that was forked off has none of its threads: there, work is done by
  // whoever brings it.
  static Crew& of_process();

  Crew() = default;
  Crew(const Crew&) = delete;
  Crew& operator=(const Crew&) = delete;
  ~Crew();

  // Calls work() here, and on up to `helpers` other threads that are free while it lasts; returns when all
  // these calls have. work() must not throw. May be called from any thread, also from within work().
  void share(const std::function<void()>& work, std::size_t helpers);

 private:
  struct Offer {
    const std::function<void()>& work;
    std::size_t open = 0;    // helpers that may still come
    std::size_t inside = 0;  // those at work
  };

  // Nothing may be locked or waited for then.
  [[nodiscard]] bool left_behind() const;
  void hire_up_to(std::size_t helpers);
  void help();

  std::mutex mutex_;
  std::condition_variable offered_;
  std::condition_variable left_;
  std::deque<Offer*> offers_;  // that are open
  bool closing_ = false;
  std::vector<std::thread> threads_;
  std::atomic<int> process_{0};  // whose threads they are; 0: there are none
};

}  // namespace scrapetrace
