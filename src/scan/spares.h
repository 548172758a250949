#pragma once
// Things that threads need one each of, made when there is none left from before.

#include <functional>
#include <memory>
#include <mutex>
#include <utility>
#include <vector>

namespace scrapetrace::scan {

template <class Thing>
class Spares {
 public:
  // Null when no more can be made: `make` says so.
  explicit Spares(std::function<std::unique_ptr<Thing>()> make) : make_(std::move(make)) {}

  std::unique_ptr<Thing> take() {
    const std::scoped_lock lock(mutex_);
    if (left_.empty()) return make_();
    auto one = std::move(left_.back());
    left_.pop_back();
    return one;
  }
  void give_back(std::unique_ptr<Thing> one) {
    const std::scoped_lock lock(mutex_);
    left_.push_back(std::move(one));
  }
  // Those that were given back.
  [[nodiscard]] const std::vector<std::unique_ptr<Thing>>& left() const { return left_; }

 private:
  std::function<std::unique_ptr<Thing>()> make_;
  std::mutex mutex_;
  std::vector<std::unique_ptr<Thing>> left_;
};

}  // namespace scrapetrace::scan
