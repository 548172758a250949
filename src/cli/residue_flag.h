#pragma once
// --residue: one bit of residue in a few words.

#include <string>

#include "scrapetrace/causes.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// "HEAD:SIDE:SURFACE[:OUTWARD_MM]": touches just upstream of the jets, centred at OUTWARD_MM, by default in
// the middle of the zone.
Result<Residue> residue_from_flag(const std::string& flag, const Layout& layout);

}  // namespace scrapetrace::cli
