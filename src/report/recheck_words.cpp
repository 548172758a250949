#include <fmt/format.h>

#include <cmath>

#include "report/recheck_report.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

std::string first_target(const RecheckStory& story) {
  const RecheckTarget& target = story.result.targets.front();
  return fmt::format("{} ({})", place_name(target.head, target.side, target.surface), percent(target.now));
}

// The change that speaks loudest for going on.
std::string because(const Recheck& result) {
  const StreakChange* loudest = nullptr;
  for (const auto& change : result.changes) {
    if (change.change == Change::gone || change.change == Change::could_not_look) continue;
    if (loudest == nullptr || std::abs(change.loss_after.loss) > std::abs(loudest->loss_after.loss))
      loudest = &change;
  }
  if (loudest == nullptr) return {};
  return fmt::format(": the streak at {} mm is {}", decimals(loudest->x_sheet_mm, 1), change_words(*loudest));
}

std::string clean_sentence(const RecheckStory& story, std::string_view again) {
  if (story.result.targets.front().over_jets) {
    return fmt::format("Likeliest now: {}, but among the jets: never scrape there{}.", first_target(story),
                       because(story.result));
  }
  return fmt::format("Clean {} {}{}.", first_target(story), again, because(story.result));
}

std::string look_again_sentence(const RecheckStory& story) {
  if (!story.evidence.before.any_scan_analysed())
    return "Could not look: no scan from before the cleaning could be analysed.";
  if (!story.evidence.after.any_scan_analysed())
    return "Could not look: no scan from after the cleaning could be analysed.";
  const std::size_t hidden = story.result.count(Change::could_not_look);
  if (hidden > 0) {
    return fmt::format(
        "Could not look: {} of {} streaks may still be there, for all that the after scans show.", hidden,
        story.result.changes.size());
  }
  return "The streaks are gone, but no bare paper shows whether loosened ink is gone too: print a page with "
         "white "
         "over the cleaned place.";
}

}  // namespace

std::string change_words(const StreakChange& change) {
  const auto by = [&](double part) {
    return fmt::format("{} (+-{})", percent(part), decimals(100 * change.fainter_sigma, 0));
  };
  switch (change.change) {
    case Change::fainter:
      return "fainter by " + by(change.fainter_by);
    case Change::stronger:
      return "stronger by " + by(-change.fainter_by);
    case Change::moved:
      return fmt::format("moved {} mm to the {} on the drum (+-{})", decimals(std::abs(change.moved_mm), 2),
                         change.moved_mm < 0 ? "left" : "right", decimals(change.moved_sigma_mm, 2));
    case Change::could_not_look:
      return "not to be judged";
    case Change::gone:
    case Change::unchanged:
    case Change::appeared:
      break;
  }
  return to_string(change.change);
}

std::string cleaned_name(const Cleaned& place) {
  if (!place.surface.empty()) return place_name(place.head, place.side, place.surface);
  return fmt::format("head {}, {} side", printable(place.head), to_string(place.side));
}

std::string recheck_sentence(const RecheckStory& story) {
  switch (story.result.next) {
    case NextStep::close:
      return story.result.changes.empty()
                 ? "Nothing to compare: neither the scans before nor those after show a streak."
                 : "Done: every streak is gone, and no loosened ink shows.";
    case NextStep::print_on:
      return fmt::format(
          "The streaks are gone, but loosened ink still shows (density {}): print white sheets until the "
          "paper "
          "stays clean, then recheck the last one.",
          decimals(story.result.haze_density, 3));
    case NextStep::clean_again:
      return clean_sentence(story, "again");
    case NextStep::clean_next:
      return clean_sentence(story, "next");
    case NextStep::other_causes:
      return "No head to clean: what remains has another cause, or points at no target.";
    case NextStep::look_again:
      break;
  }
  return look_again_sentence(story);
}

}  // namespace scrapetrace::report
