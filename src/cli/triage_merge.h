#pragma once
// Merges the results of shards.

#include "cli/evidence.h"
#include "cli/triage_run.h"

namespace scrapetrace::cli {

// request.input: the shards' folders; request.out: what a single run over all cases would have written.
// Throws store::StoreError.
ExitStatus merge_triage(const TriageRequest& request, const Machine& machine);

}  // namespace scrapetrace::cli
