#pragma once
// The picture for the person at the machine: the page with marked streaks and, below at the same scale, the
// heads as they stand over it, with ranked targets and unchecked ranges.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "report/units.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::report {

// An upright picture of a scan as PNG, placed in the sheet frame.
struct EncodedThumbnail {
  std::string png;
  double left_mm = 0;
  double top_mm = 0;
  double width_mm = 0;
  double height_mm = 0;
};

struct PictureOptions {
  double width_px = 1400;
  std::optional<std::array<double, 2>> sheet_mm;  // drawn as outline; absent: the thumbnail's extent
  LengthUnit unit = LengthUnit::mm;
  std::string origin;  // the last line: program and inputs
};

// `thumbnails` has one entry per scan of `findings` or is empty. Self-contained SVG 1.1.
std::string picture_svg(const Layout& layout, const Findings& findings,
                        const std::vector<std::optional<EncodedThumbnail>>& thumbnails,
                        const PictureOptions& options = {});

// The same drawing without its text, for an HTML page: streaks link to #streak-<id>, targets to
// #target-<rank>; elements of streak <id> have class s<id>.
std::string picture_in_page(const Layout& layout, const Findings& findings,
                            const std::vector<std::optional<EncodedThumbnail>>& thumbnails,
                            const PictureOptions& options = {});

// What the drawing shows and how to read it.
std::string picture_caption(const Layout& layout, const Findings& findings,
                            const std::vector<std::optional<EncodedThumbnail>>& thumbnails);
std::string picture_legend(const Findings& findings);

}  // namespace scrapetrace::report
