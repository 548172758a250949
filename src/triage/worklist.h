#pragma once
// What a triage run has to do and has done, in a file: a killed run goes on where it was, and memory does not
// grow with the number of cases. Throws store::StoreError.

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "store/sqlite.h"

namespace scrapetrace::triage {

// One case judged. Lines are ordered by group, then by falling score, then by name.
struct Line {
  std::string name;
  std::string key;  // of the contents and settings that it rests on
  int group = 0;
  double score = 0;
  bool failed = false;   // a scan of it could not be analysed
  std::string json;      // one line
  std::string row;       // for the overview
  std::string sentence;  // for the terminal
};

class Worklist {
 public:
  Worklist(const std::string& path, const std::string& settings);
  // False when the file belongs to a run with other settings.
  [[nodiscard]] bool same_settings();

  // Lists the cases anew: begin, add every file, end. Lines of cases no longer listed go.
  void begin_listing();
  void list(const std::string& name, const std::string& file);
  void end_listing();

  [[nodiscard]] std::int64_t cases();
  [[nodiscard]] std::int64_t lines();
  // The first case by name after `name`; none at the end.
  std::optional<std::string> next_after(const std::string& name);
  std::vector<std::string> files_of(const std::string& name);

  // The key of the case's line; empty when it has none.
  std::string key_of(const std::string& name);
  void put(const Line& line);
  void each_line(const std::function<void(const Line&)>& visit);

 private:
  store::Database database_;
  std::string settings_;
};

}  // namespace scrapetrace::triage
