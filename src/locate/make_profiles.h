#pragma once
// Measured profiles across a region, with what was found there drawn through them.

#include <vector>

#include "diagnose/diagnose_region.h"
#include "scrapetrace/evidence.h"

namespace scrapetrace::locate_detail {

// One profile per scan and ink that shows regions[index], bare paper last. `explanations` are all of that
// region's; the fit holds them together. Inks that do not show the streak are averaged over the whole sheet.
std::vector<Profile> make_profiles(const diagnose::PageContext& page,
                                   const std::vector<streak::Region>& regions, std::size_t index,
                                   const std::vector<diagnose::Explanation>& explanations);

}  // namespace scrapetrace::locate_detail
