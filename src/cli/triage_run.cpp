#include "cli/triage_run.h"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <mutex>
#include <thread>

#include "cli/case_scans.h"
#include "cli/html.h"
#include "cli/output.h"
#include "cli/progress.h"
#include "cli/standard_input.h"
#include "cli/triage_folder.h"
#include "cli/triage_merge.h"
#include "hash/sha256.h"
#include "report/triage_report.h"
#include "sandbox/exit_messages.h"
#include "scan/page_name.h"
#include "triage/list_cases.h"
#include "triage/worklist.h"

namespace scrapetrace::cli {

namespace {

namespace fs = std::filesystem;
using triage::Line;
using triage::Worklist;

class Run {
 public:
  Run(const TriageRequest& request, const Machine& machine, TriageFolder folder, Worklist& work,
      fs::path base, bool closed)
      : request_(request),
        machine_(machine),
        folder_(std::move(folder)),
        work_(work),
        base_(std::move(base)),
        closed_(closed),
        key_settings_(key_settings_of(request.evidence)),
        origin_(origin_of(request.evidence, {})) {}

  void judge_all(int left) {
    Progress progress(left);
    progress_ = &progress;
    {
      std::vector<std::jthread> workers;
      for (int i = 0; i < request_.jobs; ++i) workers.emplace_back([this] { work_off(); });
    }
    progress.finish();
    if (failure_) std::rethrow_exception(failure_);
  }

 private:
  void work_off() {
    try {
      while (const auto name = next()) judge(*name);
    } catch (...) {
      const std::lock_guard lock(mutex_);
      if (!failure_) failure_ = std::current_exception();
    }
  }

  std::optional<std::string> next() {
    const std::lock_guard lock(mutex_);
    if (failure_) return std::nullopt;
    auto name = work_.next_after(at_);
    if (name) at_ = *name;
    return name;
  }

  void judge(const std::string& name) {
    std::vector<triage::Input> listed;
    std::string known;
    {
      const std::lock_guard lock(mutex_);
      listed = work_.inputs_of(name);
      known = work_.key_of(name, true);
    }
    const Stage stage(request_.evidence.options.stages, "judge case");
    const CaseScans scans(base_.string(), closed_, listed);
    const std::string key = hash::sha256(key_settings_ + '\n' + scans.contents());
    if (key == known && is_there(report_name(name))) return;
    const Line line = judged(name, key, scans);
    const std::lock_guard lock(mutex_);
    work_.put(line);
    progress_->step();
  }

  [[nodiscard]] bool is_there(const std::string& report) const {
    std::error_code error;
    return fs::is_regular_file(fs::symlink_status(folder_.root / report, error));
  }

  [[nodiscard]] Line judged(const std::string& name, const std::string& key, const CaseScans& scans) const {
    EvidenceRequest evidence = request_.evidence;
    evidence.html = "report";  // with everything the page shows
    evidence.command_line = fmt::format("scrapetrace locate --layout {}{}", evidence.layout,
                                        evidence.chart.empty() ? "" : " --chart " + evidence.chart);
    evidence.settings.clear();
    if (request_.jobs > 1) evidence.options.threads = 1;
    report::TriageCase one = begun(name, key, scans);
    // One entry per page; a file may have several.
    LocateResult result = locate_case(evidence, machine_, [&](CaseBudget& budget, const TakeScan& take) {
      scans.read(evidence, machine_, budget, [&](ScanInput page, std::size_t place) {
        one.scans.push_back({page.file, scans.files()[place].sha256, false, "", {}});
        take(std::move(page));
      });
    });
    one.settled = std::none_of(result.findings.scans.begin(), result.findings.scans.end(), is_passing);
    report::take_findings(result.findings, one);
    // A mixed case's page names no place either.
    if (one.group == report::TriageGroup::mixed)
      result.findings.targets.clear(), result.findings.traces.clear(), result.findings.order.clear();
    const auto page = report::locate_html(machine_.layout, machine_.chart_given(), result,
                                          provenance_of(evidence, origin_with(scans)), evidence.unit);
    const auto written = write_file((folder_.root / one.report).string(), page, Existing::replace);
    if (!written.empty()) throw std::runtime_error(to_string(written.front()));
    return line_of(one);
  }

  // What is known before the analysis.
  [[nodiscard]] report::TriageCase begun(const std::string& name, const std::string& key,
                                         const CaseScans& scans) const {
    report::TriageCase one;
    one.name = name;
    one.key = key;
    one.tool_version = SCRAPETRACE_VERSION;
    one.layout_sha256 = origin_.files.front().sha256;
    if (origin_.files.size() > 1) one.chart_sha256 = origin_.files.back().sha256;
    one.report = report_name(name);
    for (const Copy& copy : scans.copies())
      one.copies.push_back({scans.files()[copy.scan].name, scans.files()[copy.same_as].name});
    one.left_out = scans.left_out();
    one.complete = scans.complete();
    return one;
  }

  static bool is_passing(const ScanReport& scan) {
    return !scan.analysed() && std::any_of(scan.reasons.begin(), scan.reasons.end(), sandbox::is_transient);
  }

  [[nodiscard]] report::Origin origin_with(const CaseScans& scans) const {
    report::Origin out = origin_;
    for (std::size_t i = 0; i < scans.files().size(); ++i)
      out.files.push_back({fmt::format("scan {}", i + 1), scans.files()[i].name, scans.files()[i].sha256});
    return out;
  }

  const TriageRequest& request_;
  const Machine& machine_;
  TriageFolder folder_;
  Worklist& work_;
  fs::path base_;  // base of relative names
  bool closed_;    // links must not lead outside
  std::string key_settings_;
  report::Origin origin_;  // layout and chart
  std::mutex mutex_;       // guards the worklist, at_, progress_ and failure_
  std::string at_;
  Progress* progress_ = nullptr;
  std::exception_ptr failure_;
};

// Names in a manifest are relative to its folder; in a stream, to the current folder.
fs::path base_of(const std::string& input) {
  if (input == "-") return {};
  if (fs::is_directory(input)) return input;
  return fs::is_regular_file(input) ? fs::path(input).parent_path() : fs::path();
}

// A manifest used in the wrong folder finds nothing: report that once at the start.
class Absent {
 public:
  explicit Absent(fs::path base) : base_(std::move(base)) {}
  void look_for(const std::string& file) {
    std::error_code error;
    if (fs::exists(scan::page_named((base_ / file).string()).file, error)) return;
    if (++number_ == 1) first_ = file;
  }
  [[nodiscard]] Problems problems(const std::string& manifest) const {
    if (number_ == 0) return {};
    std::error_code error;
    return {
        {manifest, 0, 0,
         fmt::format("lists {} file{} not there, {}{}; names are relative to {}", number_,
                     number_ == 1 ? " that is" : "s that are", number_ == 1 ? "" : "the first of them ",
                     first_, fs::absolute(base_.empty() ? "." : base_, error).lexically_normal().string())}};
  }

 private:
  fs::path base_;
  std::int64_t number_ = 0;
  std::string first_;
};

Problems list(const TriageRequest& request, Worklist& work) {
  const std::string& input = request.input.front();
  const auto listed = [&](const triage::Input& met) {
    if (request.shard.holds(met.name)) work.list(met);
  };
  Absent absent(base_of(input));
  const auto written = [&](const triage::Input& met) {
    listed(met);
    if (request.shard.holds(met.name)) absent.look_for(met.file);
  };
  Problems problems;
  work.begin_listing();
  if (input == "-") {
    problems = triage::list_manifest(std::cin, kStandardInput, written);
  } else if (fs::is_directory(input)) {
    problems = triage::list_folder(input, listed);
  } else {
    std::ifstream manifest(input);
    if (!manifest) return {{input, 0, 0, "cannot be read; name a folder or a manifest"}};
    problems = triage::list_manifest(manifest, input, written);
  }
  if (problems.empty()) {
    complain(absent.problems(shown_name(input)));
    work.end_listing();
  }
  return problems;
}

ExitStatus run(const TriageRequest& request, const Machine& machine) {
  const TriageFolder folder{request.out};
  Worklist work(folder.state(), settings_of(request.evidence));
  if (!work.same_settings()) return refuse_other_settings(folder);
  if (const auto problems = list(request, work); !problems.empty()) return refuse(problems);
  if (work.cases() == 0 && request.shard.count == 1)
    return refuse({{shown_name(request.input.front()), 0, 0,
                    fs::is_directory(request.input.front())
                        ? "lists no scan: the folder is empty"
                        : "lists no scan; write one per line: CASE, a tab and FILE, or FILE alone"}});
  const std::string& input = request.input.front();
  Run(request, machine, folder, work, base_of(input), input != "-" && fs::is_directory(input))
      .judge_all(static_cast<int>(work.cases() - work.settled_lines()));
  return write_results(folder, work, request, machine);
}

}  // namespace

ExitStatus triage(const TriageRequest& request) {
  const auto machine = load_machine(request.evidence, request.jobs);
  if (!machine) return refuse(machine.problems());
  const auto lock = prepare(request, {request.out});
  if (!lock) return refuse(lock.problems());
  try {
    return request.merge ? merge_triage(request, *machine) : run(request, *machine);
  } catch (const store::StoreError& error) {
    return refuse({{request.out, 0, 0,
                    fmt::format("cannot be worked on: {}; is another triage running there?", error.what())}});
  }
}

}  // namespace scrapetrace::cli
