#pragma once
// The findings as one HTML file for a desk, a phone or the printer: the answer first, then what to do, then
// all that it rests on. It needs no network and runs no script.

#include <optional>
#include <string>
#include <vector>

#include "report/html_sections.h"

namespace scrapetrace::report {

struct HtmlReport {
  std::vector<std::optional<EncodedThumbnail>> pages;  // one per scan, or none
  std::vector<ShownStreak> streaks;                    // one per streak, or none
  PictureOptions picture;                              // its unit is the page's
  Provenance provenance;
};

// UTF-8. The same arguments give the same bytes.
std::string locate_html(const Layout& layout, const Findings& findings, const HtmlReport& report);

}  // namespace scrapetrace::report
