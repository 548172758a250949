#pragma once
// What the forward model itself misses: contacts are no boxes, take from each ink another part, come and go.
// Such a discrepancy runs through all strips alike and changes over about a millimetre across, so that it
// counts as a few unknowns, however many samples show it (after Kennedy and O'Hagan, J. R. Stat. Soc. B 63,
// 2001, 425).
//
// With n such unknowns of one unknown size, a cause that leaves a chi square D above the noise has the
// likelihood (1 + D / n)^(-n / 2) (their normal density with its scale integrated; Student's t). The causes'
// cells get the mean of that and of exp(-chi^2 / 2), tempered by the misfit, weighed by whether the best
// cause fits down to the noise at all.

#include "diagnose/round.h"

namespace scrapetrace::diagnose {

// Weighs a round's cells and evidences anew and sets its `discrepancy`. A contact that fits poorly may also
// lie somewhat beside its best place.
void allow_discrepancy(const PageContext& page, const CausePriors& priors, Interval region_mm, Round& round);

// The same for a further cause of a region. What it explains may be the discrepancy of the causes before it
// as well: nothing but the Student's t weighs, of what is left without it (D0) against what is left with it
// (D),
// ((1 + D0 / n) / (1 + D / n))^(n / 2). Its evidence is then against "the causes before it miss that much".
void allow_discrepancy_before(const PageContext& page, const CausePriors& priors, Interval region_mm,
                              Round& round);

}  // namespace scrapetrace::diagnose
