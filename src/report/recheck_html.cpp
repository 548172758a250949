#include "report/recheck_html.h"

#include <fmt/format.h>

#include <array>

#include "report/html_page.h"
#include "report/html_sections.h"
#include "report/jet_lines.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

const char* verdict_of(NextStep next) {
  switch (next) {
    case NextStep::close:
      return "DONE";
    case NextStep::print_on:
      return "PRINT WHITE SHEETS";
    case NextStep::clean_again:
      return "CLEAN AGAIN";
    case NextStep::clean_next:
      return "CLEAN ELSEWHERE";
    case NextStep::other_causes:
      return "NO HEAD TO CLEAN";
    case NextStep::stop:
      return "STOP";
    case NextStep::look_again:
      break;
  }
  return "LOOK AGAIN";
}

std::string scans_words(const Findings& findings) {
  return fmt::format("{} scan{}", findings.scans.size(), findings.scans.size() == 1 ? "" : "s");
}

std::string outcome_words(const RecheckStory& story) {
  std::string out;
  for (std::size_t i = 0; i < kChangeCount; ++i) {
    const auto kind = static_cast<Change>(i);
    const std::size_t n = story.result.count(kind);
    if (n == 0) continue;
    out += fmt::format("{}{} {}", out.empty() ? "" : ", ", n,
                       kind == Change::could_not_look ? "not to be judged" : to_string(kind));
  }
  return out.empty() ? "none on either set of scans" : out;
}

Markup header_of(const RecheckStory& story, const std::string& sentence) {
  Markup out = element("p",
                       fmt::format("scrapetrace recheck: {}, {} from before and {} from after the cleaning",
                                   printable(story.layout.name), scans_words(story.evidence.before),
                                   scans_words(story.evidence.after)),
                       {{"class", "kicker"}});
  out += headline(sentence) + element("p", verdict_of(story.result.next), {{"class", "verdict"}});
  std::string cleaned;
  for (const auto& place : story.cleaned) cleaned += (cleaned.empty() ? "" : "; ") + cleaned_name(place);
  Markup facts;
  if (const auto where = where_next(story); !where.empty()) facts += fact("On the head", where);
  facts += fact("Cleaned before", cleaned) + fact("Streaks", outcome_words(story)) +
           fact("Jets", jets_words(story)) + fact("Loosened ink", haze_words(story.result));
  out += element("dl", facts, {{"class", "facts"}});
  std::vector<std::pair<std::string, std::string>> sections{{"steps", "What to do"}, {"picture", "Picture"}};
  if (!story.result.changes.empty()) sections.emplace_back("streaks", "Streaks");
  if (!story.result.jets.empty()) sections.emplace_back("jets", "Jets");
  if (!targets_worth_naming(story.result).empty()) sections.emplace_back("targets", "Places");
  if (!story.evidence.after.unchecked.empty()) sections.emplace_back("unchecked", "Not checked");
  sections.emplace_back("scans-before", "Scans before");
  sections.emplace_back("scans-after", "Scans after");
  sections.emplace_back("repeat", "To repeat this");
  return out + html_links(sections);
}

std::string legend_of(const RecheckStory& story) {
  std::string out =
      "Above: the page before the cleaning; below it the page after and the heads, all to one scale across, "
      "printed side up, lead edge at the top. Whole outline: residue. Dashed: not a scrape. Dotted: gone. "
      "Bars: where each target's zone lies, with the chance that residue is there now; diamond: where it is "
      "expected.";
  if (!story.evidence.after.unchecked.empty())
    out += " Hatched: not checked by the scans after, so not known to be clean.";
  return out;
}

Markup facts_of(const RecheckStory& story, const StreakChange& change) {
  const LengthUnit unit = story.unit;
  const bool added = is_added(change);
  Markup facts = fact("Outcome", change_words(change, unit));
  facts += fact("Place", fmt::format("{} from the sheet's left edge; X {} on the drum",
                                     length(change.x_sheet_mm, 1, unit), length(change.x_drum_mm, 1, unit)));
  facts += fact("Width", length(change.width_mm, 2, unit));
  facts += fact(added ? "Ink added before" : "Ink missing before", reading_words(change.loss_before, added));
  facts += fact(added ? "Ink added after" : "Ink missing after", reading_words(change.loss_after, added));
  for (const auto& remark : change_remarks(story, change)) facts += fact("Remark", remark);
  return element("dl", facts, {{"class", "facts"}});
}

Markup one_change(const RecheckStory& story, const RecheckPages& pages, std::size_t index) {
  const StreakChange& change = story.result.changes[index];
  const std::size_t number = index + 1;
  Markup body = facts_of(story, change);
  if (index < pages.places_before.size() && index < pages.places_after.size()) {
    const auto& before = pages.places_before[index];
    const auto& after = pages.places_after[index];
    const Markup drawing =
        Markup::trusted(change_drawing(story.layout, change, number, before, after, story.unit)) +
        element("figcaption",
                "The scans around the streak over the sheet's whole length, stretched across. Below: broad "
                "pale line, before; fine dark line, after. Shaded: the streak's width.");
    body = element("div", element("figure", drawing, {{"class", "profile"}}) + element("div", body),
                   {{"class", "pair"}});
  }
  return element("article",
                 element("h3", fmt::format("Streak {}: {} ({})", number, change_words(change, story.unit),
                                           cause_words(change.cause))) +
                     body,
                 {{"id", fmt::format("streak-{}", number)}, {"class", fmt::format("hot s{}", number)}});
}

Markup changes_section(const RecheckStory& story, const RecheckPages& pages) {
  if (story.result.changes.empty()) return {};
  Markup out;
  for (std::size_t i = 0; i < story.result.changes.size(); ++i) out += one_change(story, pages, i);
  return section("streaks", "Streaks before and after, left to right", out);
}

Markup jets_section(const RecheckStory& story) {
  Markup list;
  for (const auto& line : jet_lines(story.result.jets, story.unit, " after")) list += element("li", line);
  return story.result.jets.empty()
             ? Markup()
             : section("jets", "Weak and dead jets after the cleaning", element("ul", list));
}

constexpr std::array<std::string_view, 5> kTargetColumns{"", "Place", "Residue there now",
                                                         "Was there, all considered", "Said before"};

Markup target_row(const RecheckTarget& target, std::size_t rank) {
  const auto cell = [](std::size_t column, const Markup& content) {
    return element("td", content, {{"class", "number"}, {"data-name", kTargetColumns[column]}});
  };
  Markup name = words(place_name(target.head, target.side, target.surface));
  if (target.cleaned) name += words(" (cleaned)");
  if (target.over_jets) {
    name += element("div",
                    target.never_scrape() ? "Among the jets: not to be scraped, ever."
                                          : "Partly among the jets: touch it " + jets_note(target) + ".",
                    {{"class", "never"}});
  }
  return element("tr",
                 element("td", fmt::format("{}.", rank), {{"class", "number"}}) +
                     element("th", name, {{"scope", "row"}}) +
                     cell(2, probability_bar(target.now) + words(percent(target.now))) +
                     cell(3, words(percent(target.was))) + cell(4, words(percent(target.before))),
                 {{"id", fmt::format("target-{}", rank)}});
}

Markup targets_section(const RecheckStory& story) {
  const auto targets = targets_worth_naming(story.result);
  if (targets.empty()) return {};
  Markup rows;
  for (std::size_t i = 0; i < targets.size(); ++i) rows += target_row(*targets[i], i + 1);
  return section("targets", "Places and what is known of them now",
                 headed_table(kTargetColumns, rows, "cards") + element("p", recheck_model(story)));
}

}  // namespace

std::string recheck_html(const RecheckStory& story, const RecheckPages& pages) {
  HtmlPage page;
  const std::string sentence = recheck_sentence(story);
  page.title = sentence;
  page.header = header_of(story, sentence);
  if (opens_machine(story.result.next)) page.main += html_cautions();
  page.main += html_steps(recheck_steps(story));
  page.main += section("picture", "The page before and after, and the heads",
                       wide_figure(recheck_picture(story, pages), legend_of(story)));
  page.main += changes_section(story, pages);
  page.main += jets_section(story);
  page.main += targets_section(story);
  page.main += html_unchecked(story.evidence.after, story.unit);
  page.main += html_scans(story.evidence.before, story.unit, "scans-before",
                          "The scans from before and how they were placed");
  page.main += html_scans(story.evidence.after, story.unit, "scans-after",
                          "The scans from after and how they were placed");
  page.main += html_glossary(page.main);
  page.main += html_provenance(pages.provenance);
  std::vector<std::size_t> numbers;
  for (std::size_t i = 0; i < story.result.changes.size(); ++i) numbers.push_back(i + 1);
  page.style = highlight_style(numbers);
  return html_page(page);
}

}  // namespace scrapetrace::report
