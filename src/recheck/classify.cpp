#include "recheck/classify.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::recheck_detail {

namespace {

constexpr double kUpper95 = 1.6449;  // one-sided 95 % of the standard Gaussian
constexpr double kSurely = 3.0;      // standard deviations for a certain change
constexpr double kFaintest = 0.005;  // mean loss; below, baselines alone differ between sheets
constexpr double kSameWithin = 0.1;  // of the streak: contact pressure varies between prints

}  // namespace

bool shows(const Reading& reading) {
  return reading.seen && std::abs(reading.loss) > std::max(kSurely * reading.sigma, kFaintest);
}

Change classify(StreakChange& change, bool found_after, const RecheckOptions& options) {
  const Reading& before = change.loss_before;
  const Reading& after = change.loss_after;
  if (!after.seen || !before.seen || before.loss == 0) return Change::could_not_look;
  const double kept = after.loss / before.loss;
  const double size = std::abs(before.loss);
  change.fainter_by = 1 - kept;
  change.fainter_sigma = std::hypot(after.sigma, kept * before.sigma) / size;
  // Signed by the streak's direction: missing or added ink.
  const double signed_after = before.loss > 0 ? after.loss : -after.loss;
  change.at_most = std::max(0.0, signed_after) + kUpper95 * after.sigma;
  if (!found_after && !(shows(after) && signed_after > 0)) {
    return change.at_most <= options.gone_below * size ? Change::gone : Change::could_not_look;
  }
  const double sure = std::max(kSurely * change.fainter_sigma, kSameWithin);
  if (change.fainter_by > sure) return Change::fainter;
  return change.fainter_by < -sure ? Change::stronger : Change::unchanged;
}

}  // namespace scrapetrace::recheck_detail
