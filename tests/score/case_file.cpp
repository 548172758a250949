#include "score/case_file.h"

#include <stdexcept>

#include "cli/output.h"
#include "score/score_json.h"

namespace scrapetrace::score {

Problems CaseFile::check(const std::string& line) const {
  if (line == run_) return {};
  const auto program = program_of(line, run_);
  if (!program) {
    return {{path_, 1, 0,
             "holds the cases of another run (" + line + "); this one is " + run_ +
                 ": give the same options, or another file"}};
  }
  if (other_builds_) return {};
  return {{path_, 1, 0,
           "holds cases that another build of this program judged (" + *program +
               "): give another file, or --other-builds when nothing that matters has changed since"}};
}

Problems CaseFile::open(int cases) {
  if (path_.empty()) return {};
  std::string kept = run_ + "\n";
  if (std::ifstream in(path_, std::ios::binary); in) {
    std::string line;
    std::getline(in, line);
    if (!line.empty() && !in.eof()) {
      if (auto problems = check(line); !problems.empty()) return problems;
    }
    while (std::getline(in, line)) {
      auto record = case_from_line(line);
      if (!record || record->index < 0) continue;  // the line at which a run was stopped
      kept += line + "\n";
      if (record->index < cases) done_.insert_or_assign(record->index, std::move(*record));
    }
  }
  if (auto problems = cli::write_file(path_, kept, Existing::replace); !problems.empty()) return problems;
  out_.open(path_, std::ios::binary | std::ios::app);
  if (!out_) return {{path_, 0, 0, "cannot be written; check its permissions"}};
  return {};
}

std::vector<int> CaseFile::missing(int cases) const {
  std::vector<int> out;
  for (int k = 0; k < cases; ++k) {
    if (!done_.contains(k)) out.push_back(k);
  }
  return out;
}

void CaseFile::add(CaseRecord record) {
  if (!path_.empty()) {
    out_ << case_line(record) << '\n' << std::flush;
    if (!out_) throw std::runtime_error(path_ + " cannot be written to; make room on the disk");
  }
  done_.insert_or_assign(record.index, std::move(record));
}

std::vector<CaseRecord> CaseFile::records() const {
  std::vector<CaseRecord> out;
  for (const auto& [index, record] : done_) out.push_back(record);
  return out;
}

}  // namespace scrapetrace::score
