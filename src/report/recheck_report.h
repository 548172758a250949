#pragma once
// What a cleaning did: the words that text, page and JSON (scrapetrace.recheck/1, docs/recheck.md) share.

#include <string>
#include <vector>

#include "scrapetrace/report.h"

namespace scrapetrace::report {

// The answer in one sentence.
std::string recheck_sentence(const RecheckStory& story);

// What the cleaning did to jets, first of all: "Stop: 3 jets of head 2 (black), the nearest 0.4 mm from the
// place you cleaned, no longer print."; empty when none was lost.
std::string jets_sentence(const RecheckStory& story);
std::string jets_words(const RecheckStory& story);  // their number, and since when
// "Of the streaks from before: 1 gone, 1 fainter."; empty when there were none.
std::string streaks_besides(const RecheckStory& story);
std::vector<std::string> steps_after_harm();

// What became of one streak: "gone", "fainter by 60 % (+-4)", "moved 2.0 mm to the right", ...
std::string change_words(const StreakChange& change, LengthUnit unit = LengthUnit::mm);

// The next place to clean on the head ("1.6 mm outward of ..."); empty when none or unknown.
std::string where_next(const RecheckStory& story);
// What to do next, in order.
std::vector<std::string> recheck_steps(const RecheckStory& story);
// Whether the next step opens the machine.
bool opens_machine(NextStep next);

// "31.0 % (+-0.8)"; for added ink the density; or "not seen".
std::string reading_words(const Reading& reading, bool added);
// Whether the streak is added ink.
bool is_added(const StreakChange& change);
// Where a streak moved, what limits the verdict on it, and advice; one sentence each.
std::vector<std::string> change_remarks(const RecheckStory& story, const StreakChange& change);
std::string haze_words(const Recheck& result);
// Targets worth naming, in their order.
std::vector<const RecheckTarget*> targets_worth_naming(const Recheck& result);
// What was cleaned, and the assumptions of the model.
std::string recheck_model(const RecheckStory& story);

// "head 3, left side" or "head 3, left side, faceplate"
std::string cleaned_name(const Cleaned& place);

}  // namespace scrapetrace::report
