#pragma once
// What the scans that are judged together may take: pixels, memory and time.

#include <cstddef>
#include <string>
#include <utility>

#include "scrapetrace/out_of_time.h"
#include "scrapetrace/read_limits.h"

namespace scrapetrace::cli {

class CaseBudget {
 public:
  // Time counts from here.
  explicit CaseBudget(const scan::CaseLimits& limits);

  [[nodiscard]] TimePoint until() const { return until_; }
  // For the next page.
  [[nodiscard]] scan::CaseShare left() const;
  // A page was decoded.
  void take(double pixels) { pixels_ += pixels; }
  // So many bytes of light are kept of all pages so far.
  void keep(std::size_t light_bytes) { light_bytes_ = light_bytes; }
  [[nodiscard]] std::size_t light_bytes() const { return light_bytes_; }
  // No more is read and judged, for this reason.
  void close(std::string why) { why_ = std::move(why); }
  // Why nothing more is read and judged; empty while there is something left.
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
