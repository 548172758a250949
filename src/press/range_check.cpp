#include "press/range_check.h"

#include <cmath>
#include <sstream>

namespace scrapetrace::press {

namespace {

std::string text(double value) {
  std::ostringstream out;
  out << value;
  return out.str();
}

}  // namespace

void RangeCheck::within(const std::string& name, double value, double low, double high) {
  if (value >= low && value <= high) return;
  fail(name + " is " + text(value) + "; allowed is " + text(low) + " to " + text(high) +
       ": give a value in that range.");
}

void RangeCheck::above(const std::string& name, double value, double low, double high) {
  if (value > low && value <= high) return;
  fail(name + " is " + text(value) + "; allowed is above " + text(low) + " and up to " + text(high) +
       ": give a value in that range.");
}

void RangeCheck::finite(const std::string& name, double value) {
  if (!std::isfinite(value)) fail(name + " is " + text(value) + "; give a finite number of millimetres.");
}

void RangeCheck::index(const std::string& name, std::size_t value, std::size_t count,
                       const std::string& of_what) {
  if (value < count) return;
  fail(name + " is number " + std::to_string(value) + ", but the layout has " + std::to_string(count) + " " +
       of_what + ", counted from 0: name one that it has.");
}

void RangeCheck::ordered(const std::string& name, double from, double to) {
  if (from < to) return;
  fail(name + " runs from " + text(from) + " to " + text(to) +
       "; its end must lie beyond its start: exchange or correct them.");
}

}  // namespace scrapetrace::press
