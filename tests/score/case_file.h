#pragma once
// The cases that a run has done, kept in a file so that a stopped run goes on where it was.

#include <fstream>
#include <map>
#include <string>
#include <vector>

#include "score/case_record.h"
#include "scrapetrace/result.h"

namespace scrapetrace::score {

class CaseFile {
 public:
  // Without a path, in memory only. `run` is the file's first line: which run it belongs to. Cases that
  // another build judged are taken up only with `other_builds`.
  CaseFile(std::string path, std::string run, bool other_builds)
      : path_(std::move(path)), run_(std::move(run)), other_builds_(other_builds) {}

  // Takes up cases [0, cases) of the file and drops a half-written last line. Problems: another run's file,
  // or one that cannot be read or written.
  Problems open(int cases);
  [[nodiscard]] std::vector<int> missing(int cases) const;
  // One line, flushed. Throws std::runtime_error when it cannot be written.
  void add(CaseRecord record);
  [[nodiscard]] std::vector<CaseRecord> records() const;  // by index

 private:
  [[nodiscard]] Problems check(const std::string& line) const;

  std::string path_;
  std::string run_;
  bool other_builds_;
  std::ofstream out_;
  std::map<int, CaseRecord> done_;
};

}  // namespace scrapetrace::score
