#pragma once
// A verdict, as text and as JSON (scrapetrace.accept/1, docs/accept.md).

#include <string>

#include "report/provenance.h"
#include "report/units.h"
#include "scrapetrace/accept.h"

namespace scrapetrace::report {

// All that a verdict rests on.
struct AcceptStory {
  const Layout& layout;
  const Findings& findings;
  const Limits& limits;
  const Acceptance& result;
  LengthUnit unit = LengthUnit::mm;  // of text and page; the JSON is always in millimetres
};

// "Pass: ...", "Fail: ..." or "Cannot judge: ..." with the first reason.
std::string accept_sentence(const AcceptStory& story);
// Why one limit is judged as it is, one sentence.
std::string limit_reason(const LimitVerdict& limit, LengthUnit unit = LengthUnit::mm);
const char* what_is_measured(LimitKind kind);
// "12.0 % of the ink", "0.31 mm", "3"
std::string limit_value(LimitKind kind, double value, LengthUnit unit);
const char* verdict_words(Verdict verdict);  // "pass", "FAIL", "cannot judge"

std::string accept_text(const AcceptStory& story);
std::string accept_json(const AcceptStory& story, const Origin& origin);

}  // namespace scrapetrace::report
