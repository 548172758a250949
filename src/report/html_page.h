#pragma once
// A self-contained HTML page: no script, style and pictures inline, and a Content-Security-Policy that
// forbids everything else.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "report/markup.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::report {

struct HtmlPage {
  std::string title;
  Markup header;  // top of the page: what it is, and the answer as its only <h1>
  Markup main;
  std::string style;  // additional CSS of this page; ours, never from a file
};

std::string html_page(const HtmlPage& page);

// The start of a page up to <body>, for pages written in pieces; `style` as above.
std::string html_head(std::string_view title, const std::string& style);

// Whether a page starts as html_page() starts one, with its policy, and has no further <meta> that a browser
// would obey. Required before passing on a page from somebody else.
bool is_our_page(std::string_view page);

// CSS that highlights all elements of class s<id> when one is hovered or focused.
std::string highlight_style(const std::vector<std::size_t>& ids);
std::string highlight_style(const std::vector<Streak>& streaks);

}  // namespace scrapetrace::report
