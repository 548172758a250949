#include "accept/verdict_consistency.h"

#include <cmath>

namespace scrapetrace::accept_detail {

namespace {

constexpr double kRounding = 1e-5;  // of values in a report

// A count within its limit passes; one beyond it may fail, where a fault can be told from what cannot be
// seen.
bool count_is_consistent(const LimitVerdict& limit, bool may_fail) {
  if (limit.measured <= limit.limit + kRounding) return limit.verdict == Verdict::pass;
  return limit.verdict == Verdict::cannot_judge || (may_fail && limit.verdict == Verdict::fail);
}

bool value_follows(const LimitVerdict& limit, double guard) {
  const double over = limit.measured - limit.limit;
  const double rounding = kRounding * (2 + guard);
  switch (limit.verdict) {
    case Verdict::pass:
      return over <= rounding - guard * limit.sigma;
    case Verdict::fail:
      return over > -rounding;
    case Verdict::cannot_judge:
      break;
  }
  return true;  // a streak less bad than the worst, but less certain, can decide
}

}  // namespace

Verdict together(const std::vector<LimitVerdict>& limits, bool any_scan_analysed) {
  return any_scan_analysed ? verdict_of(limits) : Verdict::cannot_judge;
}

bool is_consistent(const LimitVerdict& limit, double guard) {
  for (const double value : {limit.limit, limit.measured, limit.sigma, guard}) {
    if (!std::isfinite(value) || value < 0) return false;
  }
  switch (limit.kind) {
    case LimitKind::loss:
    case LimitKind::width:
    case LimitKind::visible:
      return value_follows(limit, guard);
    case LimitKind::number:
    case LimitKind::dead_jets:
      return count_is_consistent(limit, true);
    case LimitKind::lost_jets:  // without scans from before nothing is counted, and nothing can be judged
      return limit.verdict == Verdict::cannot_judge || count_is_consistent(limit, true);
    case LimitKind::scans:
    case LimitKind::mixed:
    case LimitKind::sight:
    case LimitKind::unchecked_sides:
      break;
  }
  return count_is_consistent(limit, false);
}

}  // namespace scrapetrace::accept_detail
