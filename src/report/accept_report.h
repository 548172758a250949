#pragma once
// A verdict: the words that text, page and JSON (scrapetrace.accept/1, docs/accept.md) share.

#include <string>
#include <string_view>
#include <vector>

#include "scrapetrace/report.h"

namespace scrapetrace::report {

// "Pass: ...", "Fail: ..." or "Cannot judge: ..." with the first reason, and how many more there are.
std::string accept_sentence(const AcceptStory& story);
// What to do next, in order.
std::vector<std::string> accept_steps(const AcceptStory& story);
// The reason for the verdict on one limit, one sentence.
std::string limit_reason(const AcceptStory& story, const LimitVerdict& limit);
// Where the deciding evidence is: streaks with their place, heads, scans. When nothing counts, what was
// examined: "no streak on 2 scans".
std::string where_shown(const AcceptStory& story, const LimitVerdict& limit);
std::string nothing_counts(const AcceptStory& story, LimitKind kind);
const char* what_is_measured(LimitKind kind);
// "12.0 % of the ink", "0.31 mm", "3"
std::string limit_value(LimitKind kind, double value, LengthUnit unit);
// The measured value with its standard deviation, if it has one: "12.0 % (+-0.4) of the ink".
std::string measured_value(const LimitVerdict& limit, LengthUnit unit);
const char* verdict_words(Verdict verdict);  // "pass", "FAIL", "cannot judge"

}  // namespace scrapetrace::report
