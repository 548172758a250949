#include <fmt/format.h>

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

const char* group_name(TriageGroup group) {
  switch (group) {
    case TriageGroup::mixed:
      return "Mixed: scans that contradict each other";
    case TriageGroup::clean:
      return "A place to clean";
    case TriageGroup::choose:
      return "Places to look at first";
    case TriageGroup::other_causes:
      return "Streaks with other causes";
    case TriageGroup::could_not_look:
      return "Could not look: to be scanned again";
    case TriageGroup::no_scan:
      return "Not a scan: to be sent again";
    case TriageGroup::too_faint:
      return "Too faint to see: to be compared later";
    case TriageGroup::nothing_found:
      break;
  }
  return "Nothing found";
}

Markup summary_of(const TriageCount& count) {
  Markup list;
  for (int group = 0; group < kTriageGroups; ++group) {
    const auto number = count.cases[static_cast<std::size_t>(group)];
    if (number == 0) continue;
    list += element("li",
                    element("a", fmt::format("{} ({})", group_name(static_cast<TriageGroup>(group)), number),
                            {{"href", fmt::format("#group-{}", group)}}));
  }
  return element("nav", element("ul", list), {{"aria-label", "groups of cases"}});
}

Markup answer_of(const TriageCase& one) {
  Markup say = element("div", printable(one.sentence));
  if (!one.rescan.empty())
    say += element("div", "To send back: " + printable(one.rescan), {{"class", "rescan"}});
  for (const auto& copy : one.copies)
    say += element("div", printable(copy.file) + " holds the same bytes as " + printable(copy.same_as) +
                              " and was left out.");
  for (const auto& left : one.left_out) {
    if (one.group != TriageGroup::no_scan)
      say += element("div", printable(left.file) + ' ' + printable(left.reason) + ", and was left out.");
  }
  return say;
}

}  // namespace

std::string triage_row(const TriageCase& one, LengthUnit unit) {
  Markup files;
  for (const auto& scan : one.scans) files += element("div", printable(scan.file));
  return element("tr", element("th", element("a", printable(one.name), {{"href", one.report}}),
                               {{"scope", "row"}}) +
                           element("td", answer_of(one)) +
                           element("td", one.score > 0 ? length(one.score, 2, unit) : std::string(),
                                   {{"class", "score"}}) +
                           element("td", files, {{"class", "scans"}}))
             .html() +
         '\n';
}

std::string triage_head(const TriageCount& count, const Origin& origin, const std::string& layout_name) {
  const auto all = count.all();
  const std::string title = fmt::format("{} case{}, worst and surest first", all, all == 1 ? "" : "s");
  Markup columns;
  for (const char* name : {"Case", "Answer", "Missing ink", "Scans"})
    columns += element("th", name, {{"scope", "col"}});
  return html_head(title, std::string(kTriageStyle)) +
         element("header", element("p", fmt::format("scrapetrace triage: {}", printable(layout_name)),
                                   {{"class", "kicker"}}) +
                               element("h1", title) + element("p", count_sentence(count)) + summary_of(count))
             .html() +
         "<main>\n" +
         element("p", fmt::format(
                          "Each case leads to its report. Missing ink: loss times width of the worst streak, "
                          "times the probability of what is blamed. {}",
                          origin_sentence(origin)))
             .html() +
         "<table class=\"cases\"><thead>" + element("tr", columns).html() + "</thead><tbody>\n";
}

std::string triage_group(TriageGroup group) {
  const Markup name = element("th", group_name(group), {{"colspan", "4"}, {"scope", "rowgroup"}});
  return fmt::format("</tbody><tbody class=\"group\" id=\"group-{}\">\n", static_cast<int>(group)) +
         element("tr", name).html() + "</tbody><tbody>\n";
}

std::string triage_tail() {
  return "</tbody></table>\n" + html_cautions().html() + "</main>\n</body>\n</html>\n";
}

}  // namespace scrapetrace::report
