#pragma once
// One picture for the person at the machine: the page with its streaks marked and, below it to the same scale
// across, the heads as they stand over it, with the ranked targets and what was not checked.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "report/units.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::report {

// An upright picture of a scan as a PNG file's bytes, placed in the sheet frame.
struct EncodedThumbnail {
  std::string png;
  double left_mm = 0;
  double top_mm = 0;
  double width_mm = 0;
  double height_mm = 0;
};

struct PictureOptions {
  double width_px = 1400;
  std::optional<std::array<double, 2>> sheet_mm;  // drawn as the sheet's outline; else the thumbnail's extent
  LengthUnit unit = LengthUnit::mm;
  std::string origin;  // the last line: what made the picture, and from what
};

// `thumbnails` has one entry per scan of `findings`, or none at all. Well-formed SVG 1.1 that needs no other
// file.
std::string picture_svg(const Layout& layout, const Findings& findings,
                        const std::vector<std::optional<EncodedThumbnail>>& thumbnails,
                        const PictureOptions& options = {});

// The same drawing without its words, to stand in an HTML page: streaks link to #streak-<id>, targets to
// #target-<rank>, and all that belongs to streak <id> has the class s<id>.
std::string picture_in_page(const Layout& layout, const Findings& findings,
                            const std::vector<std::optional<EncodedThumbnail>>& thumbnails,
                            const PictureOptions& options = {});

// What the drawing shows and how to read it.
std::string picture_caption(const Layout& layout, const Findings& findings,
                            const std::vector<std::optional<EncodedThumbnail>>& thumbnails);
std::string picture_legend(const Findings& findings);

}  // namespace scrapetrace::report
