#include "fit/to_columns.h"

#include <cmath>
#include <numbers>

namespace scrapetrace::fit {

namespace {

constexpr double kSurely = 2.0;  // standard deviations to the next whole column

// What the heads of a carriage have in common beyond whole columns: the mean on a circle one column round.
double common_part(const std::vector<const MovedHead*>& heads, double px) {
  double sine = 0;
  double cosine = 0;
  for (const MovedHead* head : heads) {
    const double weight = 1 / std::max(head->sigma_mm * head->sigma_mm, 1e-12);
    sine += weight * std::sin(2 * std::numbers::pi * head->moved_mm / px);
    cosine += weight * std::cos(2 * std::numbers::pi * head->moved_mm / px);
  }
  return std::atan2(sine, cosine) / (2 * std::numbers::pi) * px;
}

}  // namespace

Columns to_columns(const Layout& start, const std::vector<MovedHead>& moved) {
  const double px = start.px_mm();
  Columns out;
  for (std::size_t q = 0; q < start.carriages.size(); ++q) {
    std::vector<const MovedHead*> heads;
    for (const MovedHead& head : moved) {
      if (start.heads[head.head].carriage == q) heads.push_back(&head);
    }
    if (heads.empty()) continue;
    const double common = common_part(heads, px);
    double weight = 0;
    for (const MovedHead* head : heads) weight += 1 / std::max(head->sigma_mm * head->sigma_mm, 1e-12);
    out.carriages.push_back({q, common, 1 / std::sqrt(weight)});
    for (const MovedHead* head : heads) {
      FittedHead fitted;
      fitted.head = start.heads[head->head].name;
      fitted.moved_mm = head->moved_mm;
      fitted.columns = static_cast<int>(std::lround((head->moved_mm - common) / px));
      fitted.left_over_mm = head->moved_mm - common - fitted.columns * px;
      fitted.columns_sure = std::abs(fitted.left_over_mm) + kSurely * head->sigma_mm < px / 2;
      out.heads.push_back(std::move(fitted));
    }
  }
  return out;
}

}  // namespace scrapetrace::fit
