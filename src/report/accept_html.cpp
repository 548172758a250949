#include "report/accept_html.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "report/html_page.h"
#include "report/jet_lines.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

const char* stamp(Verdict verdict) {
  if (verdict == Verdict::pass) return "PASS";
  return verdict == Verdict::fail ? "FAIL" : "CANNOT JUDGE";
}

std::size_t count(const AcceptStory& story, Verdict verdict) {
  std::size_t n = 0;
  for (const auto& limit : story.result.limits) n += limit.verdict == verdict ? 1 : 0;
  return n;
}

Markup header_of(const AcceptStory& story, const std::string& sentence) {
  const std::size_t scans = story.findings.scans.size();
  Markup out = element("p",
                       fmt::format("scrapetrace accept: {}, {} scan{}", printable(story.layout.name), scans,
                                   scans == 1 ? "" : "s"),
                       {{"class", "kicker"}});
  out += headline(sentence) + element("p", stamp(story.result.verdict), {{"class", "verdict"}});
  out += element("dl",
                 fact("Limits", printable(story.limits.name)) +
                     fact("Limit by limit",
                          fmt::format("{} pass, {} fail, {} cannot be judged", count(story, Verdict::pass),
                                      count(story, Verdict::fail), count(story, Verdict::cannot_judge))) +
                     fact("Guard", fmt::format("{} standard deviations between a value and its limit",
                                               decimals(story.limits.guard, 2))),
                 {{"class", "facts"}});
  std::vector<std::pair<std::string, std::string>> sections{{"steps", "What to do"}, {"limits", "Limits"}};
  if (count(story, Verdict::cannot_judge) > 0) sections.emplace_back("unjudged", "Not judged");
  if (story.jets != nullptr && !story.jets->empty()) sections.emplace_back("jets", "Jets");
  sections.emplace_back("picture", "Picture");
  if (!story.findings.streaks.empty()) sections.emplace_back("streaks", "Streaks");
  if (!story.findings.unchecked.empty()) sections.emplace_back("unchecked", "Not checked");
  sections.emplace_back("scans", "Scans");
  sections.emplace_back("repeat", "To repeat this");
  return out + html_links(sections);
}

// Distance to the limit in standard deviations; negative beyond it.
std::string margin_of(const LimitVerdict& limit, LengthUnit unit) {
  const double room = limit.limit - limit.measured;
  std::string value = room < 0 ? fmt::format("{} over", limit_value(limit.kind, -room, unit))
                               : fmt::format("{} left", limit_value(limit.kind, room, unit));
  if (limit.sigma <= 0) return value;
  return fmt::format("{}: {} standard deviations", value, decimals(std::abs(room) / limit.sigma, 1));
}

// What decides the limit, or comes nearest to it.
Markup shown_by(const AcceptStory& story, const LimitVerdict& limit) {
  Markup out;
  for (const auto& place : limit.places) out += element("div", "head " + printable(place));
  for (const std::size_t id : limit.streaks) {
    Markup streak = element("a", fmt::format("streak {}", id), {{"href", fmt::format("#streak-{}", id)}});
    for (const Streak& found : story.findings.streaks) {
      if (found.id == id) streak += words(" at " + length(found.x_sheet_mm, 1, story.unit));
    }
    out += element("div", streak);
  }
  for (const auto& scan : limit.scans) out += element("div", printable(scan), {{"class", "file"}});
  return out.empty() ? words(nothing_counts(story, limit.kind)) : out;
}

constexpr std::array<std::string_view, 6> kColumns{
    "Verdict", "What is held against a limit", "Measured", "Allowed", "Margin", "Where"};

Markup row_of(const AcceptStory& story, const LimitVerdict& limit) {
  const LengthUnit unit = story.unit;
  const auto cell = [](std::size_t column, const Markup& content) {
    return element("td", content, {{"data-name", kColumns[column]}});
  };
  const char* mark = limit.verdict == Verdict::pass ? "" : limit.verdict == Verdict::fail ? "bad" : "open";
  return element("tr",
                 element("td", element("strong", verdict_words(limit.verdict)), {{"class", "role"}}) +
                     element("th", what_is_measured(limit.kind), {{"scope", "row"}}) +
                     cell(2, words(measured_value(limit, unit))) +
                     cell(3, words(limit_value(limit.kind, limit.limit, unit))) +
                     cell(4, words(margin_of(limit, unit))) + cell(5, shown_by(story, limit)),
                 {{"class", mark}});
}

Markup limits_section(const AcceptStory& story) {
  Markup rows;
  for (const auto& limit : story.result.limits) rows += row_of(story, limit);
  return section(
      "limits", "The limits",
      headed_table(kColumns, rows, "cards") +
          element("p",
                  "A value passes or fails only when it lies beyond its limit by the guard; closer to it, "
                  "it cannot be judged. Fail beats cannot judge, which beats pass. Where: what decides a "
                  "limit; on a pass, what comes nearest to it."));
}

Markup unjudged_section(const AcceptStory& story) {
  Markup list;
  for (const auto& limit : story.result.limits) {
    if (limit.verdict == Verdict::cannot_judge) list += element("li", limit_reason(story, limit));
  }
  if (list.empty()) return {};
  return section("unjudged", "What could not be judged", element("ul", list));
}

Markup jets_section(const AcceptStory& story) {
  if (story.jets == nullptr || story.jets->empty()) return {};
  Markup list;
  for (const auto& line : jet_lines(*story.jets, story.unit)) list += element("li", line);
  return section("jets", "Weak and dead jets, and since when", element("ul", list));
}

}  // namespace

std::string accept_html(const AcceptStory& story, const HtmlReport& report) {
  // A verdict is about prints; cleaning targets, with their cautions, belong to locate's report.
  Findings findings = story.findings;
  findings.targets.clear();
  const std::string sentence = accept_sentence(story);
  HtmlPage page;
  page.title = sentence;
  page.header = header_of(story, sentence);
  page.main = html_steps(accept_steps(story));
  page.main += limits_section(story);
  page.main += unjudged_section(story);
  page.main += jets_section(story);
  page.main += html_picture(story.layout, findings, report.pages, report.picture);
  page.main += html_streaks(story.layout, findings, report.streaks, story.unit);
  page.main += html_unchecked(findings, story.unit);
  page.main += html_scans(findings, story.unit);
  page.main += html_glossary(page.main);
  page.main += html_provenance(report.provenance);
  page.style = highlight_style(findings.streaks);
  return html_page(page);
}

}  // namespace scrapetrace::report
