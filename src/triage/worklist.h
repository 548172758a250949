#pragma once
// The state of a triage run, in a database: a killed run resumes, and memory does not grow with the number of
// cases. Throws store::StoreError.

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "store/sqlite.h"
#include "triage/list_cases.h"

namespace scrapetrace::triage {

// The result of one case. Results are ordered by group, then by falling score, then by name.
struct Line {
  std::string name;
  std::string key;      // of the contents and settings that the result depends on
  bool settled = true;  // false: a transient failure (time, memory) kept a scan from being read
  int group = 0;
  double score = 0;
  std::string json;  // one line
};

class Worklist {
 public:
  Worklist(const std::string& path, const std::string& settings);
  // False when the file belongs to a run with other settings.
  [[nodiscard]] bool same_settings();

  // Lists the cases anew: begin, add every input, end. Results of cases no longer listed are deleted.
  void begin_listing();
  void list(const Input& input);
  void end_listing();

  [[nodiscard]] std::int64_t cases();
  [[nodiscard]] std::int64_t settled_lines();
  // The first case by name after `name`; none at the end.
  std::optional<std::string> next_after(const std::string& name);
  std::vector<Input> inputs_of(const std::string& name);

  // The key of the case's result; empty when it has none. With `settled`, unsettled results do not count.
  std::string key_of(const std::string& name, bool settled);
  void put(const Line& line);
  void each_line(const std::function<void(const Line&)>& visit);

 private:
  store::Database database_;
  std::string settings_;
};

}  // namespace scrapetrace::triage
