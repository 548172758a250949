#pragma once
// What the jets' own pattern in the print says of a scan: which way round it lies, where across the drum, and
// whether the layout's machine printed it.

#include <functional>
#include <optional>
#include <vector>

#include "locate/prepare_scan.h"
#include "quality/issue.h"

namespace scrapetrace::locate_detail {

struct JetsSay {
  std::optional<quality::Issue> issue;
  bool other_machine = false;  // the issue rules the layout out
  bool recognised = false;     // the pattern is the layout's
};

using PrepareAgain = std::function<std::optional<AnalysedScan>(page::Placement)>;

// Weighs the ways by what the pattern says of each, part by part of the page, and puts the likeliest first;
// what is left of one in a million or less is left out. Where only the
// sheet's or the image's edge places the print, or a streak runs off its side, the pattern becomes the datum
// and the profiles are made anew. A pattern that does not stand out of the noise says nothing.
// On up to `threads` threads, on which nothing depends.
JetsSay settle_by_jets(const Layout& layout, const PageRaster& raster, const PrepareAgain& prepare_again,
                       std::vector<AnalysedScan>& ways, int threads);

}  // namespace scrapetrace::locate_detail
