#pragma once
// Where a search for residue may start: every contact of a carriage, judged to first order.
//
// With losses so small that light is linear in them, a contact's likelihood gains T^2 / (2 F), T = n' b and F
// = n' I n, b and I the gradient and the information of the columns' losses. n sums over the places that the
// contact covers, so with b and I carried back to the carriage, place by place, T and F of every contact
// follow from prefix sums. However rugged the likelihood is (an interleave whose passes hardly overlap
// changes all of n with each column), no contact is left out.

#include <vector>

#include "causes/residue.h"

namespace scrapetrace::diagnose {

struct BoxStart {
  double x_mm = 0;  // left end at home
  double width_mm = 0;
};

// The best contacts, no wider than `widest_px` columns and not alike; at most `most`, best first.
std::vector<BoxStart> box_starts(const SearchContext& context, std::size_t carriage, std::size_t shift,
                                 int widest_px, std::size_t most);

}  // namespace scrapetrace::diagnose
