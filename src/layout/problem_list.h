#pragma once
// Collects the problems of a file, so that reading continues after the first.

#include <cstddef>
#include <string>
#include <string_view>

#include "scrapetrace/result.h"

namespace scrapetrace::layout {

// A place in the file; both count from 1.
struct Place {
  int line = 1;
  int column = 1;
};

class ProblemList {
 public:
  explicit ProblemList(std::string_view file) : file_(file) {}

  void add(Place place, std::string what);
  [[nodiscard]] bool empty() const { return problems_.empty(); }
  [[nodiscard]] std::size_t size() const { return problems_.size(); }

  // Lines were skipped: a missing key may have been there.
  void skipped_lines() { skipped_lines_ = true; }
  [[nodiscard]] bool has_skipped_lines() const { return skipped_lines_; }

  // In file order. After kMostProblems a last entry gives the number of further ones.
  [[nodiscard]] Problems take();

  static constexpr std::size_t kMostProblems = 50;

 private:
  std::string file_;
  Problems problems_;
  std::size_t left_out_ = 0;
  bool skipped_lines_ = false;
};

}  // namespace scrapetrace::layout
