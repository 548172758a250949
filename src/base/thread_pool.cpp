#include "base/thread_pool.h"

#include <unistd.h>

#include <algorithm>
#include <system_error>

namespace scrapetrace {

ThreadPool& ThreadPool::of_process() {
  // Never destroyed: a forked child would wait for the parent's threads for ever.
  static ThreadPool* const pool = new ThreadPool;
  return *pool;
}

ThreadPool::~ThreadPool() {
  {
    const std::scoped_lock lock(mutex_);
    closing_ = true;
  }
  task_added_.notify_all();
  for (std::thread& thread : threads_) thread.join();
}

bool ThreadPool::is_forked_copy() const {
  const int process = process_;
  return process != 0 && process != getpid();
}

void ThreadPool::start_threads(std::size_t count) {
  process_ = getpid();
  try {
    while (threads_.size() < count) threads_.emplace_back([this] { worker_loop(); });
  } catch (const std::system_error&) {
    return;  // fewer threads do the work
  }
}

void ThreadPool::run(const std::function<void()>& work, std::size_t helpers) {
  if (helpers == 0 || is_forked_copy()) return work();
  Task task{work, helpers};
  {
    const std::scoped_lock lock(mutex_);
    start_threads(helpers);
    tasks_.push_back(&task);
  }
  helpers > 1 ? task_added_.notify_all() : task_added_.notify_one();
  work();
  std::unique_lock lock(mutex_);
  if (task.wanted > 0) tasks_.erase(std::find(tasks_.begin(), tasks_.end(), &task));
  helper_done_.wait(lock, [&] { return task.running == 0; });
}

void ThreadPool::worker_loop() {
  std::unique_lock lock(mutex_);
  for (;;) {
    task_added_.wait(lock, [this] { return closing_ || !tasks_.empty(); });
    if (closing_) return;
    Task& task = *tasks_.front();
    ++task.running;
    if (--task.wanted == 0) tasks_.pop_front();
    lock.unlock();
    task.work();
    lock.lock();
    if (--task.running == 0) helper_done_.notify_all();
  }
}

}  // namespace scrapetrace
