#include "scan/row_feed.h"

#include <algorithm>
#include <array>
#include <condition_variable>
#include <exception>
#include <mutex>
#include <thread>

namespace scrapetrace::scan {

namespace {

constexpr std::size_t kStrips = 8;
// A thread that had to wait goes on when there is work for a while, so that the two change places seldom.
constexpr std::size_t kWorthwhile = kStrips / 2;

// A ring of strips between the two threads.
class Ring {
 public:
  explicit Ring(VipsImage* image) {
    for (Slot& slot : slots_) slot.region.reset(vips_region_new(image));
  }

  // The decoding side.
  bool put(const VipsRect& strip) {
    wait_for_room();
    Slot& slot = slots_[put_ % kStrips];
    if (vips_region_prepare(slot.region.get(), &strip) != 0) return false;
    slot.rows = {VIPS_REGION_ADDR(slot.region.get(), 0, strip.top),
                 static_cast<std::ptrdiff_t>(VIPS_REGION_LSKIP(slot.region.get())), strip.height};
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
  void take_all(const std::function<void(const Rows&)>& take) {
    for (std::size_t at = 0; wait_for_strip(); ++at) {
      try {
        if (!failure_) take(slots_[at % kStrips].rows);
      } catch (...) {
        failure_ = std::current_exception();
      }
      const std::scoped_lock lock(mutex_);
      if (put_ - ++taken_ == kStrips - kWorthwhile) changed_.notify_all();
    }
  }
  void rethrow() const {
    if (failure_) std::rethrow_exception(failure_);
  }

 private:
  struct Slot {
    Region region;
    Rows rows;
  };

  void wait_for_room() {
    std::unique_lock lock(mutex_);
    if (put_ - taken_ < kStrips) return;
    changed_.wait(lock, [&] { return put_ - taken_ <= kStrips - kWorthwhile; });
  }
  // False when there are no more.
  bool wait_for_strip() {
    std::unique_lock lock(mutex_);
    if (put_ == taken_) changed_.wait(lock, [&] { return put_ - taken_ >= kWorthwhile || finished_; });
    return put_ > taken_;
  }

  std::array<Slot, kStrips> slots_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::size_t put_ = 0;
  std::size_t taken_ = 0;
  bool finished_ = false;
  std::exception_ptr failure_;
};

}  // namespace

bool feed_rows(VipsImage* image, int rows_per_strip, const std::function<void(const Rows&)>& take) {
  const int width = vips_image_get_width(image);
  const int height = vips_image_get_height(image);
  Ring ring(image);
  bool whole = true;
  {
    const std::jthread taker([&] { ring.take_all(take); });
    for (int top = 0; top < height && whole; top += rows_per_strip)
      whole = ring.put({0, top, width, std::min(rows_per_strip, height - top)});
    ring.finish();
  }
  ring.rethrow();
  return whole;
}

}  // namespace scrapetrace::scan
