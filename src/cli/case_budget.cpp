#include "cli/case_budget.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

namespace scrapetrace::cli {

namespace {

using Clock = std::chrono::steady_clock;

Clock::duration seconds(double number) {
  return std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(number));
}

}  // namespace

CaseBudget::CaseBudget(const scan::CaseLimits& limits)
    : limits_(limits), until_(Clock::now() + seconds(limits.seconds)) {}

scan::CaseShare CaseBudget::left() const {
  scan::CaseShare out;
  out.of = limits_;
  out.megapixels = std::max(0.0, limits_.megapixels - pixels_ / 1e6);
  out.light_megabytes =
      std::max(0.0, 0.5 * limits_.memory_megabytes - static_cast<double>(light_bytes_) / 1e6);
  out.seconds = std::max(0.0, std::chrono::duration<double>(until_ - Clock::now()).count());
  return out;
}

std::string CaseBudget::over() const {
  if (why_.empty() && Clock::now() > until_) return judging_out_of_time(limits_);
  return why_;
}

std::string judging_out_of_time(const scan::CaseLimits& limits) {
  return fmt::format(
      "was not judged: the {:g} seconds for the pages that are judged together are over; give fewer scans at "
      "a time, or raise --most-case-seconds",
      limits.seconds);
}

std::string judging_out_of_memory(const scan::CaseLimits& limits) {
  return fmt::format(
      "was not judged: judging it takes more than the {:g} MB of memory allowed to the pages that are judged "
      "together; give fewer scans at a time, or raise --most-case-memory",
      limits.memory_megabytes);
}

}  // namespace scrapetrace::cli
