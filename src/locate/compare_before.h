#pragma once
// What was on the print before: learnt from earlier scans and taken out of the present ones' losses, so that
// only what is new is found.

#include <vector>

#include "geometry/machine.h"
#include "likelihood/scene.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::locate_detail {

// Finds what was wrong on the earlier scans.
diagnose::Before make_before(const geometry::Machine& machine, std::vector<profile::PreparedScan> scans,
                             double false_alarm_rate, int threads);

// The scan with its losses counted from the earlier scans' instead of from a clean print. Away from what was
// wrong before, the earlier losses are jets' variation and noise: they are taken out as far as the present
// ones repeat them (least squares).
profile::PreparedScan counted_from(const diagnose::Before& before, profile::PreparedScan scan);

}  // namespace scrapetrace::locate_detail
