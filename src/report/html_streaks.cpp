// The streaks: appearance, fit of the model, possible causes.

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "report/html_sections.h"
#include "report/phrases.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

Markup causes_table(const Streak& streak) {
  static constexpr std::array<std::string_view, 2> kColumns{"Cause", "Probability"};
  Markup rows;
  for (const Cause cause : causes_by_probability(streak)) {
    const double p = streak.causes[static_cast<std::size_t>(cause)];
    rows += element("tr", element("td", cause_words(cause)) +
                              element("td", probability_bar(p) + words(percent(p)), {{"class", "number"}}));
  }
  return headed_table(kColumns, rows, "causes");
}

Markup scans_of(const Streak& streak, const Findings& findings) {
  std::string out;
  for (const std::size_t scan : streak.scans) {
    if (scan < findings.scans.size()) out += (out.empty() ? "" : ", ") + printable(findings.scans[scan].file);
  }
  return words(out.empty() ? "none" : out);
}

std::string width_of(const Streak& streak, LengthUnit unit) {
  if (streak.width_resolved || streak.likeliest() == Cause::residue) return length(streak.width_mm, 2, unit);
  return fmt::format("not told from its depth at this sharpness; width times loss is {}",
                     length(streak.width_times_loss_mm, 3, unit));
}

Markup facts_of(const Streak& streak, const Findings& findings, LengthUnit unit) {
  Markup facts =
      fact("Place", fmt::format("{} (+-{}) from the sheet's left edge; X {} on the drum",
                                length(streak.x_sheet_mm, 1, unit), length_value(streak.sigma_mm, 2, unit),
                                length(streak.x_drum_mm, 1, unit)));
  facts += fact("Width", width_of(streak, unit));
  facts += fact("Along", spans(streak.y_sheet_mm, unit) + " down the sheet");
  facts += fact("Ink", amount_of(streak));
  facts += fact("Sight", sight_of_streak(streak));
  facts += fact("Clearness", fmt::format("{} times the noise", decimals(streak.z, 0)));
  if (streak.residue && streak.likeliest() == Cause::residue)
    facts += fact("As residue", fit_of(*streak.residue, unit));
  for (const StreakTarget& target : streak.targets) {
    if (target.probability < 0.01) continue;
    facts +=
        fact("May come from", fmt::format("{} ({})", place_name(target.head, target.side, target.surface),
                                          percent(target.probability)));
  }
  if (streak.beyond_layout) facts += fact("Doubt", beyond_layout_words());
  if (streak.was_before)
    facts += fact("Since", "There before: no target rests on it. The scans from before show it too.");
  facts += fact("Seen on", scans_of(streak, findings));
  return element("dl", facts, {{"class", "facts"}});
}

Markup one_streak(const Layout& layout, const Streak& streak, const Findings& findings,
                  const ShownStreak* shown, LengthUnit unit) {
  Markup said = facts_of(streak, findings, unit) + causes_table(streak);
  if (is_other(streak)) said += element("p", "Not a scrape: " + other_cause_of(streak, unit));
  const Markup figure = shown == nullptr ? Markup{} : profile_drawing(layout, streak, *shown, unit);
  const Markup body =
      figure.empty() ? said : element("div", figure + element("div", said), {{"class", "pair"}});
  return element(
      "article",
      element("h3",
              fmt::format("Streak {}: {} at {}{}", streak.id, cause_words(streak.likeliest()),
                          length(streak.x_sheet_mm, 1, unit), streak.was_before ? ", from before" : "")) +
          body,
      {{"id", fmt::format("streak-{}", streak.id)}, {"class", fmt::format("hot s{}", streak.id)}});
}

}  // namespace

Markup html_streaks(const Layout& layout, const Findings& findings, const std::vector<ShownStreak>& shown,
                    LengthUnit unit) {
  if (findings.streaks.empty()) return {};
  Markup out;
  for (std::size_t i = 0; i < findings.streaks.size(); ++i) {
    out += one_streak(layout, findings.streaks[i], findings, i < shown.size() ? &shown[i] : nullptr, unit);
  }
  return section("streaks", "Streaks, left to right", out);
}

}  // namespace scrapetrace::report
