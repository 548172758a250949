#pragma once
// Results of shards put together.

#include "cli/evidence.h"
#include "cli/triage_run.h"

namespace scrapetrace::cli {

// request.input: the shards' folders; request.out gets what one run over all their cases would have written.
// Throws store::StoreError.
ExitStatus merge_triage(const TriageRequest& request, const Machine& machine);

}  // namespace scrapetrace::cli
