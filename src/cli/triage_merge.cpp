#include "cli/triage_merge.h"

#include <filesystem>

#include "cli/html.h"
#include "cli/output.h"
#include "cli/triage_folder.h"

namespace scrapetrace::cli {

namespace {

namespace fs = std::filesystem;
using triage::Line;
using triage::Worklist;

// Copied into another name and then renamed.
Problems copy_report(const fs::path& from, const fs::path& to) {
  PartFile part(to.string());
  std::error_code error;
  fs::copy_file(from, part.path(), fs::copy_options::overwrite_existing, error);
  if (error) return {{from.string(), 0, 0, "cannot be copied to " + to.string() + ": " + error.message()}};
  if (const auto reason = part.put_in_place(Existing::replace); !reason.empty())
    return {{to.string(), 0, 0, "cannot be written: " + reason}};
  return {};
}

class Merge {
 public:
  Merge(const TriageFolder& out, Worklist& work, std::string settings)
      : out_(out), work_(work), settings_(std::move(settings)) {}

  Problems add(const std::string& shard) {
    const TriageFolder from{shard};
    if (!fs::exists(from.state()))
      return {{shard, 0, 0, "holds no triage; name the folders that the shards were written to"}};
    Worklist theirs(from.state(), settings_);
    if (!theirs.same_settings())
      return {{shard, 0, 0,
               "was made with another layout, chart, option or program version; judge it again with these"}};
    if (theirs.cases() != theirs.lines())
      return {{shard, 0, 0, "is not finished; run its shard again, it goes on where it was"}};
    Problems problems;
    theirs.each_line([&](const Line& line) {
      if (problems.empty()) problems = add(from, theirs, line);
    });
    return problems;
  }

 private:
  Problems add(const TriageFolder& from, Worklist& theirs, const Line& line) {
    const std::string known = work_.key_of(line.name);
    if (!known.empty() && known != line.key) {
      return {{from.root.string(), 0, 0,
               "case " + line.name + " was judged on other scans in another shard; keep one of them"}};
    }
    for (const auto& file : theirs.files_of(line.name)) work_.list(line.name, file);
    const std::string report = report_name(line.name);
    if (auto problems = copy_report(from.root / report, out_.root / report); !problems.empty())
      return problems;
    work_.put(line);
    return {};
  }

  const TriageFolder& out_;
  Worklist& work_;
  std::string settings_;
};

}  // namespace

ExitStatus merge_triage(const TriageRequest& request, const Machine& machine) {
  const TriageFolder out{request.out};
  const std::string settings = settings_of(request.evidence);
  Worklist work(out.state(), settings);
  if (!work.same_settings()) return refuse_other_settings(out);
  Merge merge(out, work, settings);
  work.begin_listing();
  for (const auto& shard : request.input) {
    if (const auto problems = merge.add(shard); !problems.empty()) return refuse(problems);
  }
  work.end_listing();
  return write_results(out, work, machine, origin_of(request.evidence, {}));
}

}  // namespace scrapetrace::cli
