#pragma once
// Contacts that the layout's interleave does not explain. Read with the wrong direction of travel or order of
// passes, a contact's ramp fits no contact; boxes laid over each other imitate it, or nothing does.

#include "likelihood/scene.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::locate_detail {

// Marks such streaks (Streak::beyond_layout). Scratches of the drum that overlap are taken for one contact:
// each keeps a small part of its probability, and the rest is unknown. A strong streak in all inks that fits
// nothing and is wide enough for a contact keeps what it has. Scratches side by side are left alone.
void doubt_interleave(const Layout& layout, const std::vector<profile::PreparedScan>& scans,
                      Findings& findings);

}  // namespace scrapetrace::locate_detail
