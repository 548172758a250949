#pragma once
// A verdict as one HTML page: the verdict, every limit with its value, bound and margin, what could not be
// judged, and what it rests on.

#include <string>

#include "report/accept_report.h"
#include "report/html_sections.h"
#include "report/locate_html.h"

namespace scrapetrace::report {

std::string accept_html(const AcceptStory& story, const HtmlReport& report);

}  // namespace scrapetrace::report
