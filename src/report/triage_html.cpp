#include <fmt/format.h>

#include <numeric>

#include "report/answer.h"
#include "report/html_page.h"
#include "report/html_sections.h"
#include "report/markup.h"
#include "report/triage_report.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

// On a phone a row becomes a card.
constexpr std::string_view kTriageStyle = R"(
.cases tbody.group th{font-size:1.1rem;padding:1.6rem 0 .3rem;border-bottom:2px solid var(--ink)}
.cases td.scans,.cases td.score{font-size:.86rem;color:var(--soft)}
.cases td.score{white-space:nowrap;font-variant-numeric:tabular-nums}
.cases th[scope=row]{width:24%}
.cases td.scans{width:26%}
.rescan{margin-top:.3rem;padding-left:.6rem;border-left:3px solid var(--lit)}
@media (max-width:44rem){
.cases,.cases tbody,.cases tr,.cases th,.cases td{display:block;width:auto!important}
.cases thead{position:absolute;clip-path:inset(50%)}
.cases tbody.group tr{border:0;background:none;padding:0}
.cases tr{background:var(--paper);border:1px solid var(--rule);padding:.5rem .8rem;margin:.6rem 0}
.cases tr>*{border:0;padding:.1rem 0}
.cases td.score:not(:empty)::before{content:"missing ink: "}
}
)";

const char* group_name(int group) {
  switch (group) {
    case 0:
      return "A place to clean";
    case 1:
      return "Places to look at first";
    case 2:
      return "Streaks with other causes";
    case 3:
      return "Could not look: to be scanned again";
    default:
      return "Nothing found";
  }
}

Markup summary_of(const std::array<std::int64_t, kTriageGroups>& cases) {
  Markup list;
  for (int group = 0; group < kTriageGroups; ++group) {
    const auto number = cases[static_cast<std::size_t>(group)];
    if (number == 0) continue;
    list += element("li", element("a", fmt::format("{} ({})", group_name(group), number),
                                  {{"href", fmt::format("#group-{}", group)}}));
  }
  return element("nav", element("ul", list), {{"aria-label", "groups of cases"}});
}

}  // namespace

std::string triage_row(const TriageCase& one, LengthUnit unit) {
  const Answer found = answer(one.findings);
  const std::string rescan = rescan_sentence(one);
  Markup files;
  for (const auto& file : one.files) files += element("div", printable(file.name));
  Markup say = element("div", found.sentence);
  if (!rescan.empty()) say += element("div", "To send back: " + rescan, {{"class", "rescan"}});
  if (!one.copies.empty()) say += element("div", copies_sentence(one.copies));
  const double score = triage_rank(one.findings).score;
  return element(
             "tr",
             element("th", element("a", printable(one.name), {{"href", one.report}}), {{"scope", "row"}}) +
                 element("td", say) +
                 element("td", score > 0 ? length(score, 2, unit) : std::string(), {{"class", "score"}}) +
                 element("td", files, {{"class", "scans"}}))
             .html() +
         '\n';
}

std::string triage_head(const std::array<std::int64_t, kTriageGroups>& cases, const Origin& origin,
                        const std::string& layout_name) {
  const auto all = std::accumulate(cases.begin(), cases.end(), std::int64_t{0});
  const std::string title = fmt::format("{} case{}, worst and surest first", all, all == 1 ? "" : "s");
  Markup columns;
  for (const char* name : {"Case", "Answer", "Missing ink", "Scans"})
    columns += element("th", name, {{"scope", "col"}});
  return html_head(title, std::string(kTriageStyle)) +
         element("header", element("p", fmt::format("scrapetrace triage: {}", printable(layout_name)),
                                   {{"class", "kicker"}}) +
                               element("h1", title) + summary_of(cases))
             .html() +
         "<main>\n" +
         element("p", fmt::format(
                          "Each case leads to its report. Missing ink: loss times width of the worst streak, "
                          "times the probability of what is blamed. {}",
                          origin_sentence(origin)))
             .html() +
         "<table class=\"cases\"><thead>" + element("tr", columns).html() + "</thead><tbody>\n";
}

std::string triage_group(int group) {
  const Markup name = element("th", group_name(group), {{"colspan", "4"}, {"scope", "rowgroup"}});
  return fmt::format("</tbody><tbody class=\"group\" id=\"group-{}\">\n", group) +
         element("tr", name).html() + "</tbody><tbody>\n";
}

std::string triage_tail() {
  return "</tbody></table>\n" + html_cautions().html() + "</main>\n</body>\n</html>\n";
}

}  // namespace scrapetrace::report
