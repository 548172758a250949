#pragma once
// Collects values out of range, each as one sentence: value, allowed range, remedy.

#include <string>

#include "scrapetrace/causes.h"
#include "scrapetrace/result.h"

namespace scrapetrace::press {

class RangeCheck {
 public:
  // Both ends included.
  void within(const std::string& name, double value, double low, double high);
  // The low end excluded.
  void above(const std::string& name, double value, double low, double high);
  void finite(const std::string& name, double value);
  void index(const std::string& name, std::size_t value, std::size_t count, const std::string& of_what);
  void ordered(const std::string& name, double from, double to);
  void span(const std::string& name, const YSpan& span) { ordered(name, span.from_mm, span.to_mm); }
  void fail(const std::string& what) { problems_.push_back({"", 0, 0, what}); }
  [[nodiscard]] Problems take() { return std::move(problems_); }

 private:
  Problems problems_;
};

}  // namespace scrapetrace::press
