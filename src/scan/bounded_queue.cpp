#include "scan/bounded_queue.h"

#include <array>
#include <condition_variable>
#include <exception>
#include <mutex>
#include <thread>

namespace scrapetrace::scan {

namespace {

// A waiting thread is woken only when half the queue is ready for it: fewer context switches.
constexpr std::size_t kWakeUpAt = kQueueSlots / 2;

// A ring buffer of strips.
class BoundedQueue {
 public:
  // Producer side.
  bool push(int strip, const std::function<Rows(std::size_t, int)>& produce) {
    wait_until_not_full();
    const std::size_t slot = pushed_ % kQueueSlots;
    slots_[slot] = produce(slot, strip);
    if (slots_[slot].count == 0) return false;
    const std::scoped_lock lock(mutex_);
    if (++pushed_ - popped_ == kWakeUpAt) changed_.notify_all();
    return true;
  }
  void close() {
    const std::scoped_lock lock(mutex_);
    closed_ = true;
    changed_.notify_all();
  }

  // Consumer side, until the queue is closed and empty. After an exception the remaining strips are dropped.
  void pop_all(const RowSink& consume) {
    for (std::size_t at = 0; wait_until_not_empty(); ++at) {
      try {
        if (!failure_) consume(slots_[at % kQueueSlots]);
      } catch (...) {
        failure_ = std::current_exception();
      }
      const std::scoped_lock lock(mutex_);
      if (pushed_ - ++popped_ == kQueueSlots - kWakeUpAt) changed_.notify_all();
    }
  }
  void rethrow() const {
    if (failure_) std::rethrow_exception(failure_);
  }

 private:
  void wait_until_not_full() {
    std::unique_lock lock(mutex_);
    if (pushed_ - popped_ < kQueueSlots) return;
    changed_.wait(lock, [&] { return pushed_ - popped_ <= kQueueSlots - kWakeUpAt; });
  }
  // False when the queue is closed and empty.
  bool wait_until_not_empty() {
    std::unique_lock lock(mutex_);
    if (pushed_ == popped_) changed_.wait(lock, [&] { return pushed_ - popped_ >= kWakeUpAt || closed_; });
    return pushed_ > popped_;
  }

  std::array<Rows, kQueueSlots> slots_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::size_t pushed_ = 0;
  std::size_t popped_ = 0;
  bool closed_ = false;
  std::exception_ptr failure_;
};

struct CloseAtEnd {
  explicit CloseAtEnd(BoundedQueue& which) : queue(which) {}
  CloseAtEnd(const CloseAtEnd&) = delete;
  CloseAtEnd& operator=(const CloseAtEnd&) = delete;
  ~CloseAtEnd() { queue.close(); }
  BoundedQueue& queue;
};

}  // namespace

bool produce_and_consume(int strips, const std::function<Rows(std::size_t slot, int strip)>& produce,
                         const RowSink& consume) {
  BoundedQueue queue;
  bool whole = true;
  {
    const std::jthread consumer([&] { queue.pop_all(consume); });
    const CloseAtEnd end(queue);
    for (int strip = 0; strip < strips && whole; ++strip) whole = queue.push(strip, produce);
  }
  queue.rethrow();
  return whole;
}

}  // namespace scrapetrace::scan
