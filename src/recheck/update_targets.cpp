#include "recheck/update_targets.h"

#include <algorithm>

namespace scrapetrace::recheck_detail {

bool is_cleaned(const StreakTarget& target, const std::vector<Cleaned>& cleaned) {
  return std::any_of(cleaned.begin(), cleaned.end(), [&](const Cleaned& place) {
    return place.head == target.head && place.side == target.side &&
           (place.surface.empty() || place.surface == target.surface);
  });
}

double likelihood(Change change, bool cleaned, const RecheckOptions& options) {
  const double gone = cleaned ? options.success : options.gone_by_itself;
  const double less = cleaned ? options.partial : options.less_by_itself;
  switch (change) {
    case Change::gone:
      return gone;
    case Change::fainter:
    case Change::moved:
      return less;
    case Change::unchanged:
    case Change::stronger:
      return 1 - gone - less;
    case Change::appeared:
    case Change::could_not_look:
      break;
  }
  return 1;
}

std::vector<Part> update_streak(const std::vector<StreakTarget>& targets, Change change,
                                const std::vector<Cleaned>& cleaned, const RecheckOptions& options) {
  double anything_else = 1;
  for (const auto& target : targets) anything_else -= target.probability;
  double sum = std::max(0.0, anything_else) * likelihood(change, false, options);
  std::vector<Part> parts;
  for (const auto& target : targets) {
    Part part{target, is_cleaned(target, cleaned), 0, 0};
    part.was = target.probability * likelihood(change, part.cleaned, options);
    sum += part.was;
    parts.push_back(part);
  }
  for (Part& part : parts) {
    if (sum > 0) part.was /= sum;
    part.now = part.was;
    if (change == Change::gone) part.now = 0;
    if (change == Change::could_not_look && part.cleaned) part.now *= 1 - options.success;
  }
  return parts;
}

}  // namespace scrapetrace::recheck_detail
