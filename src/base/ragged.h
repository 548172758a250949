#pragma once
// Rows of different lengths in one piece of memory.

#include <cstddef>
#include <numeric>
#include <span>
#include <vector>

namespace scrapetrace {

template <class T>
class Ragged {
 public:
  Ragged() = default;
  // With room for so many entries per row.
  explicit Ragged(const std::vector<std::size_t>& lengths) {
    end_.resize(lengths.size());
    std::partial_sum(lengths.begin(), lengths.end(), end_.begin());
    entries_.resize(end_.empty() ? 0 : end_.back());
  }

  void push_back(std::span<const T> row) {
    entries_.insert(entries_.end(), row.begin(), row.end());
    end_.push_back(entries_.size());
  }

  void append(const Ragged& rows) {
    for (const std::size_t end : rows.end_) end_.push_back(entries_.size() + end);
    entries_.insert(entries_.end(), rows.entries_.begin(), rows.entries_.end());
  }

  [[nodiscard]] std::size_t size() const { return end_.size(); }
  [[nodiscard]] std::span<const T> operator[](std::size_t row) const {
    return {entries_.data() + first(row), end_[row] - first(row)};
  }
  [[nodiscard]] std::span<T> operator[](std::size_t row) {
    return {entries_.data() + first(row), end_[row] - first(row)};
  }

 private:
  [[nodiscard]] std::size_t first(std::size_t row) const { return row > 0 ? end_[row - 1] : 0; }

  std::vector<std::size_t> end_;
  std::vector<T> entries_;
};

}  // namespace scrapetrace
