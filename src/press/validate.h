#pragma once
// Validates simulation options before rendering.

#include "scrapetrace/causes.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/result.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

Problems validate(const Layout& layout, const Chart& chart, const Causes& causes, const PrintOptions& print,
                  const ScanOptions& scan);

}  // namespace scrapetrace::press
