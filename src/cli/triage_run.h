#pragma once
// A triage run: list the cases, judge the new ones, write the results.

#include <string>
#include <vector>

#include "cli/evidence.h"
#include "triage/shard.h"

namespace scrapetrace::cli {

struct TriageRequest {
  EvidenceRequest evidence;
  std::vector<std::string> input;  // one: a folder, a manifest, or -; to merge: the shards' folders
  std::string out;
  int jobs = 1;
  triage::Shard shard;
  bool merge = false;
  bool force = false;
};

ExitStatus triage(const TriageRequest& request);

}  // namespace scrapetrace::cli
