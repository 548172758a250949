#pragma once
// Sections of a findings page, each with its heading, or empty.

#include <optional>
#include <string>
#include <vector>

#include "report/answer.h"
#include "report/markup.h"
#include "report/picture_svg.h"
#include "report/units.h"
#include "scrapetrace/evidence.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/provenance.h"

namespace scrapetrace::report {

// A streak's profiles and its crop as PNG.
struct ShownStreak {
  std::vector<Profile> profiles;
  std::optional<EncodedThumbnail> crop;
  std::size_t crop_scan = 0;
};

// The answer as the page's <h1>; keeps numbers and units on one line.
Markup headline(std::string sentence);

// Links within the page: id and name.
Markup html_links(const std::vector<std::pair<std::string, std::string>>& sections);

// A bar for the eye; the number stands beside it.
Markup probability_bar(double probability);

Markup html_cautions();
Markup html_steps(const std::vector<std::string>& steps);
// A full-width drawing with a caption.
Markup wide_figure(std::string drawing, const std::string& caption);
Markup html_picture(const Layout& layout, const Findings& findings,
                    const std::vector<std::optional<EncodedThumbnail>>& pages, const PictureOptions& options);
Markup html_targets(const Findings& findings, LengthUnit unit);
Markup html_traces(const Findings& findings, LengthUnit unit);
// `shown` has one entry per streak or is empty.
Markup html_streaks(const Layout& layout, const Findings& findings, const std::vector<ShownStreak>& shown,
                    LengthUnit unit);
Markup html_unchecked(const Findings& findings, LengthUnit unit);
Markup html_scans(const Findings& findings, LengthUnit unit, std::string_view id = "scans",
                  std::string_view heading = "The scans and how they were placed");
// The terms that `page` uses.
Markup html_glossary(const Markup& page);
Markup html_provenance(const Provenance& provenance);

// The drawing of one streak: its crop and, below at the same scale, its profiles.
Markup profile_drawing(const Layout& layout, const Streak& streak, const ShownStreak& shown, LengthUnit unit);

}  // namespace scrapetrace::report
