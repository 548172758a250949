#include "scan/relay.h"

#include <array>
#include <condition_variable>
#include <exception>
#include <mutex>
#include <thread>

namespace scrapetrace::scan {

namespace {

// A thread that had to wait goes on when there is work for a while, so that the two change places seldom.
constexpr std::size_t kWorthwhile = kRelaySlots / 2;

// A ring of strips between the two threads.
class Ring {
 public:
  // The decoding side.
  bool put(int strip, const std::function<Rows(std::size_t, int)>& fill) {
    wait_for_room();
    const std::size_t slot = put_ % kRelaySlots;
    slots_[slot] = fill(slot, strip);
    if (slots_[slot].count == 0) return false;
    const std::scoped_lock lock(mutex_);
    if (++put_ - taken_ == kWorthwhile) changed_.notify_all();
    return true;
  }
  void finish() {
    const std::scoped_lock lock(mutex_);
    finished_ = true;
    changed_.notify_all();
  }

  // The other side: until the last strip. After a failure the rest is passed by unused.
  void take_all(const Take& take) {
    for (std::size_t at = 0; wait_for_strip(); ++at) {
      try {
        if (!failure_) take(slots_[at % kRelaySlots]);
      } catch (...) {
        failure_ = std::current_exception();
      }
      const std::scoped_lock lock(mutex_);
      if (put_ - ++taken_ == kRelaySlots - kWorthwhile) changed_.notify_all();
    }
  }
  void rethrow() const {
    if (failure_) std::rethrow_exception(failure_);
  }

 private:
  void wait_for_room() {
    std::unique_lock lock(mutex_);
    if (put_ - taken_ < kRelaySlots) return;
    changed_.wait(lock, [&] { return put_ - taken_ <= kRelaySlots - kWorthwhile; });
  }
  // False when there are no more.
  bool wait_for_strip() {
    std::unique_lock lock(mutex_);
    if (put_ == taken_) changed_.wait(lock, [&] { return put_ - taken_ >= kWorthwhile || finished_; });
    return put_ > taken_;
  }

  std::array<Rows, kRelaySlots> slots_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::size_t put_ = 0;
  std::size_t taken_ = 0;
  bool finished_ = false;
  std::exception_ptr failure_;
};

struct FinishAtEnd {
  explicit FinishAtEnd(Ring& which) : ring(which) {}
  FinishAtEnd(const FinishAtEnd&) = delete;
  FinishAtEnd& operator=(const FinishAtEnd&) = delete;
  ~FinishAtEnd() { ring.finish(); }
  Ring& ring;
};

}  // namespace

bool relay(int strips, const std::function<Rows(std::size_t slot, int strip)>& fill, const Take& take) {
  Ring ring;
  bool whole = true;
  {
    const std::jthread taker([&] { ring.take_all(take); });
    const FinishAtEnd end(ring);
    for (int strip = 0; strip < strips && whole; ++strip) whole = ring.put(strip, fill);
  }
  ring.rethrow();
  return whole;
}

}  // namespace scrapetrace::scan
