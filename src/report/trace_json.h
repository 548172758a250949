#pragma once
// Stage times in the Trace Event Format (JSON object form, complete events): "Trace Event Format", Google,
// section "Complete Events".

#include <string>
#include <vector>

namespace scrapetrace::report {

struct StageTime {
  std::string name;
  int thread = 0;  // numbered from 0 by first activity
  double start_us = 0;
  double length_us = 0;
  double busy_us = 0;  // processor time of that thread
};

std::string trace_json(const std::vector<StageTime>& stages, const std::string& version);

}  // namespace scrapetrace::report
