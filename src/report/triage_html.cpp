#include <fmt/format.h>

#include "report/answer.h"
#include "report/html_style.h"
#include "report/markup.h"
#include "report/triage_report.h"
#include "report/words.h"

namespace scrapetrace::report {

std::string triage_row(const TriageCase& one) {
  const Answer found = answer(one.findings);
  const std::string rescan = rescan_sentence(one.name, one.findings);
  Markup files;
  for (const auto& file : one.files) files += element("div", printable(file.name));
  Markup say = element("div", found.sentence);
  if (!rescan.empty()) say += element("div", rescan, {{"class", "rescan"}});
  return element("tr", element("th", element("a", printable(one.name), {{"href", one.report}}),
                               {{"scope", "row"}}) +
                           element("td", say) + element("td", decimals(triage_rank(one.findings).score, 3)) +
                           element("td", files))
             .html() +
         '\n';
}

std::string triage_head(std::int64_t cases, std::string_view tool_version, const std::string& layout_name) {
  const std::string title = fmt::format("{} case{}, worst and surest first", cases, cases == 1 ? "" : "s");
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
      "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">{}<style>{}\n"
      "table.cases{{border-collapse:collapse;width:100%}}.cases th,.cases "
      "td{{text-align:left;vertical-align:top;"
      "padding:.4em .6em;border-bottom:1px solid #888;overflow-wrap:break-word}}.rescan{{font-style:italic}}"
      "</style></head>\n<body><main>{}{}\n<table class=\"cases\"><thead><tr><th scope=\"col\">Case</th>"
      "<th scope=\"col\">Answer</th><th scope=\"col\">Score</th><th "
      "scope=\"col\">Scans</th></tr></thead><tbody>\n",
      element("title", title).html(), common_style(), element("h1", title).html(),
      element("p",
              fmt::format("Layout: {}. scrapetrace {}. Score: missing ink of the worst streak in mm, times "
                          "the probability of what is blamed.",
                          printable(layout_name), tool_version))
          .html());
}

std::string triage_tail() {
  Markup list;
  for (const auto line : cautions()) list += element("li", line);
  return "</tbody></table>\n" + (element("h2", "Before a cover comes off") + element("ul", list)).html() +
         "\n</main></body></html>\n";
}

}  // namespace scrapetrace::report
