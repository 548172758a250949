#pragma once
// How a page lies by its tags: one way round, without a guess.

#include <optional>
#include <string>

#include "locate/resolution.h"
#include "page/place_by_tags.h"
#include "page/place_on_chart.h"

namespace scrapetrace::locate_detail {

struct TagWay {
  std::optional<page::TagPlacement> tags;  // set when there were enough of them
  page::CoarsePlacement way;               // of probability 1
  Resolution resolution;                   // as stated, else as the tags measure it ("marks")
  std::string refusal;  // not empty: the tags show another page, or another resolution than --dpi
};

TagWay way_by_tags(const Layout& layout, const Chart& chart, const PageRaster& raster,
                   const LocateOptions& options);

// Makes the tags the datum; where too few patch edges were seen, they alone place the page.
void rest_on_tags(const PageRaster& raster, const page::TagPlacement& tags, bool edges_seen,
                  page::Placement& place);

}  // namespace scrapetrace::locate_detail
