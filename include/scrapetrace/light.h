#pragma once
// The samples of a page: its own, or lent by whoever keeps them.

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <memory>
#include <utility>
#include <vector>

namespace scrapetrace {

class Light {
 public:
  Light() = default;
  // `size` samples that nobody changes any more; they stay while any copy of this does.
  Light(std::shared_ptr<const std::uint16_t> lent, std::size_t size) : lent_(std::move(lent)), size_(size) {}

  [[nodiscard]] const std::uint16_t* data() const { return lent_ ? lent_.get() : own_.data(); }
  [[nodiscard]] std::size_t size() const { return lent_ ? size_ : own_.size(); }
  [[nodiscard]] bool empty() const { return size() == 0; }
  [[nodiscard]] const std::uint16_t* begin() const { return data(); }
  [[nodiscard]] const std::uint16_t* end() const { return data() + size(); }
  [[nodiscard]] std::uint16_t operator[](std::size_t k) const { return data()[k]; }
  friend bool operator==(const Light& a, const Light& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end());
  }

  // To be changed: what is lent is copied first. Where nothing is, several threads may ask at the same time.
  [[nodiscard]] std::vector<std::uint16_t>& own() {
    if (!lent_) return own_;
    own_.assign(begin(), end());
    lent_.reset();
    return own_;
  }

 private:
  std::vector<std::uint16_t> own_;
  std::shared_ptr<const std::uint16_t> lent_;
  std::size_t size_ = 0;
};

}  // namespace scrapetrace
