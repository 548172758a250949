// What to do: cautions, steps, the picture, and the places to clean.

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "report/html_sections.h"
#include "report/phrases.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

constexpr std::size_t kMostDescribed = 5;

std::string rank_id(std::size_t rank) {
  return fmt::format("target-{}", rank);
}

Markup streak_links(const std::vector<std::size_t>& ids) {
  Markup out;
  for (std::size_t i = 0; i < ids.size(); ++i) {
    if (i > 0) out += words(", ");
    out += element("a", fmt::format("streak {}", ids[i]), {{"href", fmt::format("#streak-{}", ids[i])}});
  }
  return out;
}

std::string hot_classes(const Target& target) {
  std::string out = "hot";
  for (const std::size_t id : target.streaks) out += fmt::format(" s{}", id);
  return out;
}

Markup rivals_of(const Target& target, LengthUnit unit) {
  if (target.rivals.empty()) return fact("Rivals", "none worth naming");
  Markup out;
  for (const Rival& rival : target.rivals) {
    out += fact("Rival",
                fmt::format("{} ({}). {}", place_name(rival.head, rival.side, rival.surface),
                            percent(rival.probability), sentence_in(printable(rival.tell_apart), unit)));
  }
  return out;
}

Markup one_target(const Target& target, const Findings& findings, std::size_t rank, LengthUnit unit) {
  Markup facts =
      fact("Probability", probability_bar(target.probability) + words(percent(target.probability)));
  facts += fact("On the head",
                fmt::format("{} (+-{})", where_on_head(target, unit), length(target.x_sigma_mm, 2, unit)));
  facts += fact("On the print", where_on_print(target, findings, unit));
  facts += fact("On the drum", where_on_drum(target, unit));
  facts += fact("Effort", fmt::format("about {} min to reach and clean", decimals(target.effort_min, 0)));
  if (!target.streaks.empty()) facts += fact("Rests on", streak_links(target.streaks));
  facts += rivals_of(target, unit);
  Markup out =
      element("h3", fmt::format("{}. {}", rank, place_name(target.head, target.side, target.surface)));
  if (target.over_jets && !target.never_scrape()) {
    out += element("p",
                   fmt::format("Partly among the jets: touch it {}. Further in it is not to be scraped, "
                               "ever: use the machine's own head cleaning there.",
                               jets_note(target, unit)),
                   {{"class", "never"}});
  }
  if (target.never_scrape()) {
    out += element(
        "p",
        "Among the jets: not to be scraped, ever. Use the machine's own head cleaning, or wipe as its "
        "service documentation says.",
        {{"class", "never"}});
  }
  out += element("dl", facts, {{"class", "facts"}});
  return element("article", out, {{"id", rank_id(rank)}, {"class", hot_classes(target)}});
}

Markup row_of(const Target& target, std::size_t rank, LengthUnit unit) {
  return element(
      "tr",
      element("td", fmt::format("{}.", rank)) +
          element("td", place_name(target.head, target.side, target.surface)) +
          element("td", percent(target.probability), {{"class", "number"}}) +
          element("td", where_on_head(target, unit)) +
          element("td", fmt::format("{} min", decimals(target.effort_min, 0)), {{"class", "number"}}),
      {{"id", rank_id(rank)}});
}

}  // namespace

Markup headline(std::string sentence) {
  for (const std::string_view unit : {" %", " mm"}) {
    for (std::size_t at = 0; (at = sentence.find(unit, at)) != std::string::npos; at += unit.size())
      sentence.replace(at, 1, "\xC2\xA0");
  }
  return element("h1", sentence);
}

Markup html_links(const std::vector<std::pair<std::string, std::string>>& sections) {
  Markup list;
  for (const auto& [id, name] : sections) list += element("li", element("a", name, {{"href", "#" + id}}));
  return element("nav", element("ul", list), {{"aria-label", "on this page"}});
}

Markup probability_bar(double probability) {
  const double filled = 100 * std::clamp(probability, 0.0, 1.0);
  return Markup::trusted(fmt::format(
      "<svg class=\"bar\" viewBox=\"0 0 100 10\" preserveAspectRatio=\"none\" aria-hidden=\"true\"><rect "
      "width=\"100\" height=\"10\" fill=\"#ffffff\" stroke=\"#46535e\" stroke-width=\"2\"/><rect "
      "width=\"{:.1f}\" height=\"10\" fill=\"#46535e\"/></svg>",
      filled));
}

Markup html_cautions() {
  Markup list;
  for (const auto line : cautions()) list += element("li", line);
  return section("cautions", "Caution: before a cover comes off", element("ul", list), "caution");
}

Markup html_steps(const std::vector<std::string>& steps) {
  Markup list;
  for (const auto& step : steps) list += element("li", step);
  return section("steps", "What to do", element("ol", list));
}

Markup wide_figure(std::string drawing, const std::string& caption) {
  return element("p", "The drawing is wider than this screen: slide it sideways.", {{"class", "narrow"}}) +
         element("figure", Markup::trusted(std::move(drawing)),
                 {{"class", "wide"}, {"tabindex", "0"}, {"aria-label", "picture"}}) +
         element("p", caption) +
         element("p",
                 "Point at a streak, a target or a head, or move to it with the tab key: what belongs "
                 "together is framed. A streak or a target leads to what is said of it below.",
                 {{"class", "screen"}});
}

Markup html_picture(const Layout& layout, const Findings& findings,
                    const std::vector<std::optional<EncodedThumbnail>>& pages,
                    const PictureOptions& options) {
  return section("picture", "The page and the heads",
                 wide_figure(picture_in_page(layout, findings, pages, options),
                             picture_caption(layout, findings, pages) + ' ' + picture_legend(findings)));
}

Markup html_traces(const Findings& findings, LengthUnit unit) {
  if (findings.traces.empty()) return {};
  static constexpr std::array<std::string_view, 4> kColumns{"Place", "Probability", "On the head",
                                                            "Rests on"};
  Markup rows;
  for (const Target& trace : findings.traces) {
    rows += element("tr", element("td", place_name(trace.head, trace.side, trace.surface)) +
                              element("td", percent(trace.probability), {{"class", "number"}}) +
                              element("td", where_on_head(trace, unit)) +
                              element("td", streak_links(trace.streaks)));
  }
  return section("traces", "Traces, no reason to open the machine",
                 element("p", fmt::format("What these streaks point at is {}.", kTooFaint)) +
                     headed_table(kColumns, rows));
}

Markup html_targets(const Findings& findings, LengthUnit unit) {
  if (findings.targets.empty()) return {};
  Markup out;
  const std::size_t described = std::min(kMostDescribed, findings.targets.size());
  for (std::size_t i = 0; i < described; ++i) out += one_target(findings.targets[i], findings, i + 1, unit);
  if (described < findings.targets.size()) {
    static constexpr std::array<std::string_view, 5> kColumns{"", "Less likely place", "Probability",
                                                              "On the head", "Effort"};
    Markup rows;
    for (std::size_t i = described; i < findings.targets.size(); ++i)
      rows += row_of(findings.targets[i], i + 1, unit);
    out += headed_table(kColumns, rows);
  }
  if (const auto order = order_words(findings); !order.empty()) out = element("p", order) + out;
  return section("targets", "Places to clean, likeliest first", out);
}

}  // namespace scrapetrace::report
