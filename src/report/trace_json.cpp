#include "report/trace_json.h"

#include "report/json_values.h"

namespace scrapetrace::report {

std::string trace_json(const std::vector<StageTime>& stages, const std::string& version) {
  Json events = Json::array();
  for (const StageTime& stage : stages) {
    events.push_back({{"name", stage.name},
                      {"cat", "stage"},
                      {"ph", "X"},
                      {"ts", number(stage.start_us, 1)},
                      {"dur", number(stage.length_us, 1)},
                      {"tdur", number(stage.busy_us, 1)},
                      {"pid", 1},
                      {"tid", stage.thread}});
  }
  const Json trace = {{"traceEvents", events},
                      {"displayTimeUnit", "ms"},
                      {"otherData", {{"program", "scrapetrace"}, {"version", version}}}};
  return trace.dump(1) + '\n';
}

}  // namespace scrapetrace::report
