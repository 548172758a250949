#pragma once
// One plain sentence on what would tell two targets apart.

#include <string>

#include "geometry/zones.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::diagnose {

std::string tell_apart(const Layout& layout, const geometry::TargetZone& a, const geometry::TargetZone& b);

}  // namespace scrapetrace::diagnose
