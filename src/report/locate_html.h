#pragma once
// The findings as one self-contained HTML file: answer, steps, evidence. No network, no script.

#include <optional>
#include <string>
#include <vector>

#include "report/html_sections.h"

namespace scrapetrace::report {

struct HtmlReport {
  std::vector<std::optional<EncodedThumbnail>> pages;  // one per scan, or empty
  std::vector<ShownStreak> streaks;                    // one per streak, or empty
  PictureOptions picture;                              // its unit is the page's
  Provenance provenance;
};

// UTF-8. Deterministic.
std::string locate_html(const Layout& layout, const Findings& findings, const HtmlReport& report);

}  // namespace scrapetrace::report
