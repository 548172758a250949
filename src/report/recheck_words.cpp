#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/recheck_report.h"
#include "report/steps.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

std::string named(const RecheckTarget& target) {
  return fmt::format("{} ({})", place_name(target.head, target.side, target.surface), percent(target.now));
}

template <class Place>
bool same_place(const Place& place, const RecheckTarget& target) {
  return place.head == target.head && place.side == target.side && place.surface == target.surface;
}

// The same place in the findings, if listed: distance to the jets, effort to reach it.
const Target* place_of(const RecheckStory& story, const RecheckTarget& wanted) {
  for (const Findings* findings : {&story.evidence.after, &story.evidence.before}) {
    for (const Target& target : findings->targets) {
      if (same_place(target, wanted)) return &target;
    }
  }
  return nullptr;
}

// The probability that the change's streak comes from there.
double support(const RecheckStory& story, const StreakChange& change, const RecheckTarget& target) {
  const Findings& findings = change.after ? story.evidence.after : story.evidence.before;
  const std::size_t id = change.after ? *change.after : change.before.value_or(0);
  for (const Streak& streak : findings.streaks) {
    if (streak.id != id) continue;
    for (const StreakTarget& part : streak.targets) {
      if (same_place(part, target)) return part.probability;
    }
  }
  return 0;
}

// The change that most supports going to a place.
std::string because(const RecheckStory& story, const RecheckTarget& target) {
  const StreakChange* loudest = nullptr;
  double most = 0;
  for (const auto& change : story.result.changes) {
    if (change.change == Change::gone || change.change == Change::could_not_look) continue;
    const double weight = support(story, change, target) * std::abs(change.loss_after.loss);
    if (weight > most) loudest = &change, most = weight;
  }
  if (loudest == nullptr) return {};
  return fmt::format(": the streak at {} {} {}", length(loudest->x_sheet_mm, 1, story.unit),
                     loudest->change == Change::moved ? "has" : "is", change_words(*loudest, story.unit));
}

// Further places likelier than 50 % by a streak of their own.
std::vector<const RecheckTarget*> further_places(const RecheckStory& story) {
  constexpr double kLikelierThanNot = 0.5;
  const auto& targets = story.result.targets;
  std::vector<const RecheckTarget*> out;
  for (std::size_t i = 1; i < targets.size(); ++i) {
    if (targets[i].now > kLikelierThanNot && !targets[i].never_scrape()) out.push_back(&targets[i]);
  }
  return out;
}

std::string clean_sentence(const RecheckStory& story, std::string_view again) {
  const RecheckTarget& first = story.result.targets.front();
  if (first.never_scrape()) {
    return fmt::format("Likeliest now: {}, but among the jets: never scrape there{}.", named(first),
                       because(story, first));
  }
  std::string out = fmt::format("Clean {} {}{}{}.", named(first), again, because(story, first),
                                first.over_jets ? ", " + jets_note(first) : "");
  const auto further = further_places(story);
  if (further.empty()) return out;
  out += fmt::format(" Then {}{}", named(*further.front()), because(story, *further.front()));
  return out + (further.size() == 1 ? "." : fmt::format("; and {} more.", further.size() - 1));
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

std::string change_words(const StreakChange& change, LengthUnit unit) {
  const auto by = [&](double part) {
    // A change may exceed 100 %, unlike a probability.
    return fmt::format("{} % (+-{})", decimals(100 * part, 0), decimals(100 * change.fainter_sigma, 0));
  };
  switch (change.change) {
    case Change::fainter:
      return "fainter by " + by(change.fainter_by);
    case Change::stronger:
      return "stronger by " + by(-change.fainter_by);
    case Change::moved:
      return fmt::format("moved {} to the {} on the drum (+-{})", length(std::abs(change.moved_mm), 2, unit),
                         change.moved_mm < 0 ? "left" : "right",
                         length_value(change.moved_sigma_mm, 2, unit));
    case Change::could_not_look:
      return "not to be judged";
    case Change::gone:
    case Change::unchanged:
    case Change::appeared:
      break;
  }
  return to_string(change.change);
}

namespace {

std::vector<std::string> cleaning_steps(const RecheckStory& story) {
  static const std::string kAgain =
      "Print the same page, scan it the same way and recheck against the scans from before.";
  const RecheckTarget& first = story.result.targets.front();
  if (first.never_scrape()) {
    return {
        "Do not scrape there: run the machine's own head cleaning, or wipe as its service documentation "
        "says.",
        kAgain};
  }
  std::vector<std::string> steps{"Follow the cautions above: switch off, isolate, wait."};
  const auto where = where_next(story);
  steps.push_back(
      fmt::format("Reach head {}, {} side as stencilled; look for a proud spot on the {}{}. Nothing "
                  "there: look at the next place before cleaning.",
                  printable(first.head), to_string(first.side), printable(first.surface),
                  where.empty() ? "" : ", " + where));
  steps.push_back(fmt::format(
      "Take it off{}as the service documentation says, away from the jets, and take up loose ink.{}",
      first.over_jets ? " " + jets_note(first, story.unit) + ", " : " ",
      first.over_jets ? " Leave what lies further in to the machine's own head cleaning: never "
                        "scrape there."
                      : ""));
  for (const RecheckTarget* target : further_places(story)) {
    const Target* place = place_of(story, *target);
    steps.push_back(fmt::format("The same at {}{}.", place_name(target->head, target->side, target->surface),
                                place == nullptr ? "" : ": " + where_on_head(*place, story.unit)));
  }
  if (story.result.haze == Haze::present)
    steps.emplace_back(
        "Loosened ink still shows: once every cover is back, print white sheets until the paper stays "
        "clean.");
  steps.push_back(kAgain);
  return steps;
}

}  // namespace

std::string where_next(const RecheckStory& story) {
  if (!opens_machine(story.result.next)) return {};
  const Target* place = place_of(story, story.result.targets.front());
  return place == nullptr ? "" : where_on_head(*place, story.unit);
}

bool opens_machine(NextStep next) {
  return next == NextStep::clean_again || next == NextStep::clean_next;
}

std::vector<std::string> recheck_steps(const RecheckStory& story) {
  switch (story.result.next) {
    case NextStep::close:
      return {"Keep both sets of scans and this result with the machine's record (case add --recheck)."};
    case NextStep::print_on:
      return {"Print some white sheets, then the same page once more.", "Scan it the same way and recheck."};
    case NextStep::clean_again:
    case NextStep::clean_next:
      return cleaning_steps(story);
    case NextStep::other_causes:
      return {"Leave the heads alone; see the advice at each streak."};
    case NextStep::stop:
      return steps_after_harm();
    case NextStep::look_again:
      break;
  }
  for (const Findings* findings : {&story.evidence.before, &story.evidence.after}) {
    if (findings->any_scan_analysed()) continue;
    auto steps = unread_scans(*findings, story.unit);
    steps.emplace_back("Put that right and recheck before anything is opened.");
    return steps;
  }
  return {"Print the same page again, whole and with white between its patches.",
          "Scan it the same way and recheck before anything is opened."};
}

bool is_added(const StreakChange& change) {
  return change.loss_before.loss + change.loss_after.loss < 0;
}

std::string reading_words(const Reading& reading, bool added) {
  if (!reading.seen) return "not seen";
  if (added) return fmt::format("density {} (+-{})", decimals(-reading.loss, 3), decimals(reading.sigma, 3));
  return fmt::format("{} % (+-{})", decimals(100 * reading.loss, 1), decimals(100 * reading.sigma, 1));
}

std::vector<std::string> change_remarks(const RecheckStory& story, const StreakChange& change) {
  std::vector<std::string> out;
  if (change.change == Change::moved) {
    const Transfer& transfer = story.layout.transfer;
    const double moved_mm = change.moved_mm * transfer.scale_cross * (transfer.mirrored ? -1 : 1);
    out.push_back(fmt::format("now at {} from the left; the ink is measured at its old place",
                              length(change.x_sheet_mm + moved_mm, 1, story.unit)));
  }
  if (change.change == Change::could_not_look && !change.loss_after.seen) {
    out.emplace_back("the scans after do not show this place with the same inks");
  } else if (change.change == Change::gone || change.change == Change::could_not_look) {
    out.push_back(
        fmt::format("at most {} % can still be missing there (95 %)", decimals(100 * change.at_most, 1)));
  }
  if (const auto* advice = cause_advice(change.cause); change.change != Change::gone && *advice != '\0')
    out.push_back(fmt::format("{}: {}", cause_words(change.cause), advice));
  return out;
}

std::string haze_words(const Recheck& result) {
  switch (result.haze) {
    case Haze::clean:
      return "none shows on bare paper at the cleaned place.";
    case Haze::cleared:
      return "showed on an earlier sheet, and no longer on the last.";
    case Haze::present:
      return fmt::format("the last sheet still shows haze of density {} on bare paper.",
                         decimals(result.haze_density, 3));
    case Haze::could_not_look:
      break;
  }
  return "not checked, no bare paper in reach of the cleaned place.";
}

std::vector<const RecheckTarget*> targets_worth_naming(const Recheck& result) {
  constexpr double kWorthNaming = 0.01;
  std::vector<const RecheckTarget*> out;
  for (const auto& target : result.targets) {
    if (std::max({target.before, target.was, target.now}) >= kWorthNaming) out.push_back(&target);
  }
  return out;
}

std::string recheck_model(const RecheckStory& story) {
  std::string cleaned;
  for (const auto& place : story.cleaned) cleaned += (cleaned.empty() ? "" : "; ") + cleaned_name(place);
  const auto& o = story.options;
  return fmt::format(
      "Cleaned: {}. Taken for granted (common practice, no source): a cleaning takes the residue off in {} "
      "of "
      "cases and part of it in {}; a streak goes by itself in {} and weakens in {}.",
      cleaned, percent(o.success), percent(o.partial), percent(o.gone_by_itself), percent(o.less_by_itself));
}

std::string cleaned_name(const Cleaned& place) {
  if (!place.surface.empty()) return place_name(place.head, place.side, place.surface);
  return fmt::format("head {}, {} side", printable(place.head), to_string(place.side));
}

namespace {

std::string next_sentence(const RecheckStory& story) {
  switch (story.result.next) {
    case NextStep::close:
      if (const std::size_t traces = story.result.traces(); traces > 0) {
        return fmt::format(
            "Done for the eye: {} of {} streaks {} still there, too faint to see. Print again "
            "later and compare.",
            traces, story.result.changes.size(), traces == 1 ? "is" : "are");
      }
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
    case NextStep::stop:
      return streaks_besides(story);
    case NextStep::look_again:
      break;
  }
  return look_again_sentence(story);
}

}  // namespace

std::string recheck_sentence(const RecheckStory& story) {
  const std::string jets = jets_sentence(story);
  const std::string next = next_sentence(story);
  return jets + (jets.empty() || next.empty() ? "" : " ") + next;
}

}  // namespace scrapetrace::report
