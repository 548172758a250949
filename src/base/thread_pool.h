#pragma once
// A pool of threads that outlive a task: starting a thread takes longer than most tasks do.

#include <atomic>
#include <condition_variable>
#include <cstddef>
#include <deque>
#include <functional>
#include <mutex>
#include <thread>
#include <vector>

namespace scrapetrace {

class ThreadPool {
 public:
  // The pool of this process. A forked child inherits none of its threads: there, run() works on the calling
  // thread alone.
  static ThreadPool& of_process();

  ThreadPool() = default;
  ThreadPool(const ThreadPool&) = delete;
  ThreadPool& operator=(const ThreadPool&) = delete;
  ~ThreadPool();

  // Calls work() on this thread and on up to `helpers` idle threads of the pool. Returns when all calls have
  // returned. work() must not throw. Any thread may call run(), also from within work().
  void run(const std::function<void()>& work, std::size_t helpers);

 private:
  struct Task {
    const std::function<void()>& work;
    std::size_t wanted = 0;   // helpers that may still join
    std::size_t running = 0;  // helpers at work
  };

  // True in a forked child: the threads are the parent's, so no lock may be taken.
  [[nodiscard]] bool is_forked_copy() const;
  void start_threads(std::size_t count);
  void worker_loop();

  std::mutex mutex_;
  std::condition_variable task_added_;
  std::condition_variable helper_done_;
  std::deque<Task*> tasks_;  // that want helpers
  bool closing_ = false;
  std::vector<std::thread> threads_;
  std::atomic<int> process_{0};  // owner of the threads; 0: none started
};

}  // namespace scrapetrace
