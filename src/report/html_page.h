#pragma once
// A whole HTML page in one file that asks nothing of any network: no script, its style and pictures inside,
// and a policy that forbids everything else.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "report/markup.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::report {

struct HtmlPage {
  std::string title;
  Markup header;  // opens the page: what it is, and the answer as its one <h1>
  Markup main;
  std::string style;  // rules of this page besides those that all pages share; ours, never from a file
};

std::string html_page(const HtmlPage& page);

// Its beginning up to <body>, for pages that are written piece by piece; `style` as above.
std::string html_head(std::string_view title, const std::string& style);

// Whether a page begins as html_page() begins one, with the policy that forbids scripts and networks, and has
// no further <meta> that a browser would obey: what a page from somebody else must be to be handed on.
bool is_our_page(std::string_view page);

// Rules that light up everything of the class s<id> when one such thing is pointed at or reached by keyboard.
std::string highlight_style(const std::vector<std::size_t>& ids);
std::string highlight_style(const std::vector<Streak>& streaks);

}  // namespace scrapetrace::report
