#include "score/faint_loss.h"

#include <algorithm>

#include "score/bounds.h"
#include "score/ideal_reader.h"

namespace scrapetrace::score {

double faint_loss(const Case& drawn, Draw& draw) {
  constexpr double kSmall = 0.01;  // d' grows in proportion up to here and little beyond
  constexpr double kMost = 0.5;
  constexpr double kAroundTheBound = 0.65;  // of all cases, which tell most about it
  const double wanted = draw.chance(kAroundTheBound) ? draw.log_between(kFaintest, kFaint)
                                                     : draw.log_between(kFaint, kPlainest);
  const Layout& layout = drawn.machine->layout;
  const geometry::ColumnMap columns(layout);
  const IdealView view = make_ideal_view(drawn, drawn.sheets.front(), ideal_window(drawn), nullptr);
  const IdealLikelihood unscraped(view, {});
  Residue residue = *drawn.residue();
  residue.loss = kSmall;
  const double d_prime = matched_d_prime(unscraped, scrape_of(layout, columns, residue));
  return d_prime > 0 ? std::clamp(kSmall * wanted / d_prime, 1e-4, kMost) : kMost;
}

}  // namespace scrapetrace::score
