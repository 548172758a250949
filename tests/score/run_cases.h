#pragma once
// Many cases at once.

#include <functional>
#include <vector>

#include "score/case_record.h"

namespace scrapetrace::score {

// Scores the cases of `indices` on `jobs` threads. Each record is handed over when it is ready, one at a
// time, in no fixed order, on the thread that made it. What `on_record` throws ends the run and is thrown
// here.
void run_cases(const std::vector<ScoreMachine>& machines, const ScoreOptions& options,
               const std::vector<int>& indices, int jobs, const std::function<void(CaseRecord)>& on_record);

}  // namespace scrapetrace::score
