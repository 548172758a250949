#pragma once
// The budget of a case for all its scans: pixels, memory and time.

#include <cstddef>
#include <string>
#include <utility>

#include "scrapetrace/out_of_time.h"
#include "scrapetrace/read_limits.h"

namespace scrapetrace::cli {

class CaseBudget {
 public:
  // The clock starts here.
  explicit CaseBudget(const scan::CaseLimits& limits);

  [[nodiscard]] TimePoint until() const { return until_; }
  // The share for the next page.
  [[nodiscard]] scan::CaseShare left() const;
  // Accounts for a decoded page.
  void take(double pixels) { pixels_ += pixels; }
  // Sets the bytes of light kept of all pages so far.
  void keep(std::size_t light_bytes) { light_bytes_ = light_bytes; }
  [[nodiscard]] std::size_t light_bytes() const { return light_bytes_; }
  // Stops reading and judging, for this reason.
  void close(std::string why) { why_ = std::move(why); }
  // Why reading and judging have stopped; empty while the budget lasts.
  [[nodiscard]] std::string over() const;

 private:
  scan::CaseLimits limits_;
  TimePoint until_;
  double pixels_ = 0;
  std::size_t light_bytes_ = 0;
  std::string why_;
};

// Why a scan was not judged.
std::string judging_out_of_time(const scan::CaseLimits& limits);
std::string judging_out_of_memory(const scan::CaseLimits& limits);

}  // namespace scrapetrace::cli
