#pragma once
// Phrases about targets, streaks and scans that text and HTML share.

#include <string>
#include <vector>

#include "report/units.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::report {

// "streak 1 at 164.2 mm from the sheet's left edge, printed side up, lead edge at the top": what to look for.
std::string where_on_print(const Target& target, const Findings& findings, LengthUnit unit);
// "X 160.8 mm; over 162.9 mm of the sheet while its carriage is at home": the place of the residue, which is
// beside the middle of its streak.
std::string where_on_drum(const Target& target, LengthUnit unit);

// "streak 1", "streaks 1, 3"
std::string streak_numbers(const std::vector<std::size_t>& ids);

// "14 to 195, 203 to 392 mm", or "unknown".
std::string spans(const std::vector<Interval>& intervals, LengthUnit unit);

// "31 % of the ink missing in cyan, black"
std::string amount_of(const Streak& streak);

// "an eye sees it (contrast 1.3 L*, 0.2 needed)", or that none does; for a scanner line, that it is not on
// the print.
std::string sight_of_streak(const Streak& streak);

// Advice for a trace.
inline constexpr const char* kTooFaint = "too faint to see: print again later and compare";

// Causes worth naming, likeliest first.
std::vector<Cause> causes_by_probability(const Streak& streak);

// The contact that explains a streak best.
std::string fit_of(const ResidueFit& fit, LengthUnit unit);
// "head 2, ink cyan, jet 57 (dead)"
std::string jet_of(const JetFit& jet);

// A streak that is no scrape: cause, place, advice.
std::string other_cause_of(const Streak& streak, LengthUnit unit);

// The visits in the recommended order, by target rank; empty without a choice.
std::string order_words(const Findings& findings);

// The targets in a gap, or "no target".
std::string targets_in(const Unchecked& gap);

const char* datum_words(Datum datum);
// ", moved by 0.02 mm to the jets' own pattern"; empty when that pattern was not found.
std::string moved_by_jets(const Registration& registration, LengthUnit unit);

}  // namespace scrapetrace::report
