#include "report/locate_html.h"

#include <fmt/format.h>

#include "report/html_page.h"
#include "report/phrases.h"
#include "report/steps.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

const char* verdict_words(const Answer& found, const Findings& findings) {
  switch (found.kind) {
    case AnswerKind::could_not_look:
      return "COULD NOT LOOK";
    case AnswerKind::nothing_found:
      return "NOTHING FOUND";
    case AnswerKind::too_faint:
      return "NOTHING TO CLEAN";
    case AnswerKind::other_causes:
      return "NO HEAD TO CLEAN";
    case AnswerKind::choose:
      return "LOOK FIRST";
    case AnswerKind::clean:
      break;
  }
  return findings.targets[found.targets.front()].never_scrape() ? "NOT TO BE SCRAPED" : "NEEDS CLEANING";
}

Markup header_of(const Layout& layout, const Findings& findings, const Answer& found, LengthUnit unit) {
  Markup out = element("p",
                       fmt::format("scrapetrace: {}, {} scan{}", printable(layout.name),
                                   findings.scans.size(), findings.scans.size() == 1 ? "" : "s"),
                       {{"class", "kicker"}});
  out += headline(found.sentence);
  out += element("p", verdict_words(found, findings), {{"class", "verdict"}});
  if (!found.targets.empty()) {
    const Target& target = findings.targets[found.targets.front()];
    out += element("dl",
                   fact("On the head", where_on_head(target, unit)) +
                       fact("On the print", where_on_print(target, findings, unit)) +
                       fact("Effort", fmt::format("about {} min", decimals(target.effort_min, 0))),
                   {{"class", "facts"}});
  } else {
    out += element("p", sight_of(findings, unit));
  }
  std::vector<std::pair<std::string, std::string>> sections{{"steps", "What to do"}};
  if (findings.any_scan_analysed()) sections.emplace_back("picture", "Picture");
  if (!findings.targets.empty()) sections.emplace_back("targets", "Places to clean");
  if (!findings.traces.empty()) sections.emplace_back("traces", "Traces");
  if (!findings.streaks.empty()) sections.emplace_back("streaks", "Streaks");
  if (!findings.unchecked.empty()) sections.emplace_back("unchecked", "Not checked");
  sections.emplace_back("scans", "Scans");
  sections.emplace_back("repeat", "To repeat this");
  return out + html_links(sections);
}

}  // namespace

std::string locate_html(const Layout& layout, const Findings& findings, const HtmlReport& report) {
  const LengthUnit unit = report.picture.unit;
  const Answer found = answer(findings);
  HtmlPage page;
  page.title = found.sentence;
  page.header = header_of(layout, findings, found, unit);
  if (may_open_machine(found)) page.main += html_cautions();
  page.main += html_steps(steps_for(found, findings, unit));
  if (findings.any_scan_analysed()) page.main += html_picture(layout, findings, report.pages, report.picture);
  page.main += html_targets(findings, unit);
  page.main += html_traces(findings, unit);
  page.main += html_streaks(layout, findings, report.streaks, unit);
  page.main += html_unchecked(findings, unit);
  page.main += html_scans(findings, unit);
  page.main += html_glossary(page.main);
  page.main += html_provenance(report.provenance);
  page.style = highlight_style(findings.streaks);
  return html_page(page);
}

}  // namespace scrapetrace::report
