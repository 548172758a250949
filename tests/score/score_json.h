#pragma once
// Scored cases as lines of JSON, and what they come to: schemas "scrapetrace.case/1" and
// "scrapetrace.score/1".

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "score/case_record.h"
#include "score/summary.h"
#include "scrapetrace/provenance.h"

namespace scrapetrace::score {

// One line, without its end; numbers unrounded: case_from_line gives the same record back.
std::string case_line(const CaseRecord& record);
// Nothing for a line that is no whole record.
std::optional<CaseRecord> case_from_line(std::string_view line);

// One line that says which run a file of cases belongs to.
std::string run_line(const std::vector<ScoreMachine>& machines, const ScoreOptions& options,
                     const std::string& program);
// The program that wrote a run's line; nothing when the line differs from `run` in more than that.
std::optional<std::string> program_of(std::string_view line, std::string_view run);

// Indented, ends with a newline.
std::string score_json(const ScoreSummary& summary, const std::vector<ScoreMachine>& machines,
                       const ScoreOptions& options, const std::string& program, const report::Origin& origin);

}  // namespace scrapetrace::score
