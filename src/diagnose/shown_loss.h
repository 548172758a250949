#pragma once
// What the pixels themselves show of a streak: no model, no expectation at a seam, no fit of the page.

#include <optional>

#include "diagnose/diagnose_region.h"

namespace scrapetrace::diagnose {

// Loss times width: of the strips that show the streak, the mean loss over `x_mm` above what lies beside it.
// Nothing where no strip reaches so far.
std::optional<double> shown_loss_mm(const std::vector<profile::PreparedScan>& scans,
                                    const std::vector<streak::Track>& tracks, Interval x_mm);

// Whether a streak that takes ink shows it by at least a good part of what its explanation claims. What a
// wrong expectation makes up does not. Blur and columns that hide between pixels make a loss look larger, not
// less.
bool shows_what_it_claims(const std::vector<profile::PreparedScan>& scans, const Explanation& explanation);

}  // namespace scrapetrace::diagnose
