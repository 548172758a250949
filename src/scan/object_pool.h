#pragma once
// A pool of objects of which each thread needs one, created on demand and reused.

#include <functional>
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

namespace scrapetrace::scan {

template <class Object>
class ObjectPool {
 public:
  explicit ObjectPool(std::function<std::unique_ptr<Object>()> create) : create_(std::move(create)) {}

  // Null when `create` returns null.
  std::unique_ptr<Object> acquire() {
    const std::scoped_lock lock(mutex_);
    if (idle_.empty()) return create_();
    auto one = std::move(idle_.back());
    idle_.pop_back();
    return one;
  }
  void release(std::unique_ptr<Object> one) {
    const std::scoped_lock lock(mutex_);
    idle_.push_back(std::move(one));
  }
  // All released objects.
  [[nodiscard]] const std::vector<std::unique_ptr<Object>>& idle() const { return idle_; }

 private:
  std::function<std::unique_ptr<Object>()> create_;
  std::mutex mutex_;
  std::vector<std::unique_ptr<Object>> idle_;
};

}  // namespace scrapetrace::scan
