#pragma once
// A verdict, as text and as JSON (scrapetrace.accept/1, docs/accept.md).

#include <string>
#include <string_view>
#include <vector>

#include "report/provenance.h"
#include "report/units.h"
#include "scrapetrace/accept.h"

namespace scrapetrace::report {

// Everything a verdict is based on.
struct AcceptStory {
  const Layout& layout;
  const Findings& findings;
  const Limits& limits;
  const Acceptance& result;
  LengthUnit unit = LengthUnit::mm;  // of text and page; the JSON is always in millimetres
  const std::vector<JetChange>* jets =
      nullptr;  // since the scans from before the work; null: no such scans
};

// "Pass: ...", "Fail: ..." or "Cannot judge: ..." with the first reason and the number of further ones.
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

std::string accept_text(const AcceptStory& story);
std::string accept_json(const AcceptStory& story, const Origin& origin);

}  // namespace scrapetrace::report
