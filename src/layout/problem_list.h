#pragma once
// Collects what is wrong with one file, so that a reader can go on after the first problem.

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

  // Lines had to be skipped: what seems to be missing may have stood there.
  void skipped_lines() { skipped_lines_ = true; }
  [[nodiscard]] bool has_skipped_lines() const { return skipped_lines_; }

  // In the order of the file. Past kMostProblems one last entry tells how many more there are.
  [[nodiscard]] Problems take();

  static constexpr std::size_t kMostProblems = 50;

 private:
  std::string file_;
  Problems problems_;
  std::size_t left_out_ = 0;
  bool skipped_lines_ = false;
};

}  // namespace scrapetrace::layout
