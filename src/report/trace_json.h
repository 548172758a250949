#pragma once
// Stage times in the Trace Event Format (JSON object form, complete events), which trace viewers read:
// "Trace Event Format", Google, section "Complete Events".

#include <string>
#include <vector>

namespace scrapetrace::report {

struct StageTime {
  std::string name;
  int thread = 0;  // counted from 0 in the order in which they first did anything
  double start_us = 0;
  double length_us = 0;
  double busy_us = 0;  // processor time of that thread
};

std::string trace_json(const std::vector<StageTime>& stages, const std::string& version);

}  // namespace scrapetrace::report
