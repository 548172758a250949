#include "cli/triage_run.h"

#include <fmt/format.h>

#include <algorithm>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <mutex>
#include <thread>

#include "cli/html.h"
#include "cli/output.h"
#include "cli/progress.h"
#include "cli/triage_folder.h"
#include "cli/triage_merge.h"
#include "hash/sha256.h"
#include "report/triage_report.h"
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
      fs::path base, std::string settings)
      : request_(request),
        machine_(machine),
        folder_(std::move(folder)),
        work_(work),
        base_(std::move(base)),
        settings_(std::move(settings)),
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
    std::vector<std::string> listed;
    std::string known;
    {
      const std::lock_guard lock(mutex_);
      listed = work_.files_of(name);
      known = work_.key_of(name);
    }
    const Stage stage(request_.evidence.options.stages, "judge case");
    std::vector<report::TriageFile> files;
    std::vector<std::string> paths;
    std::string contents = settings_ + '\n';
    for (const auto& file : listed) {
      paths.push_back((base_ / file).string());
      const auto digest = hash::sha256_of_file(paths.back());
      files.push_back({file, digest ? *digest : ""});
      contents += fmt::format("{} {} {}\n", files.back().sha256, file.size(), file);
    }
    const std::string key = hash::sha256(contents);
    if (key == known) return;
    const Line line = judged(name, key, files, paths);
    const std::lock_guard lock(mutex_);
    work_.put(line);
    progress_->step();
  }

  Line judged(const std::string& name, const std::string& key, const std::vector<report::TriageFile>& files,
              const std::vector<std::string>& paths) const {
    EvidenceRequest evidence = request_.evidence;
    evidence.html = "report";  // with all that the page shows
    evidence.command_line = fmt::format("scrapetrace locate --layout {}{}", evidence.layout,
                                        evidence.chart.empty() ? "" : " --chart " + evidence.chart);
    evidence.settings.clear();
    if (request_.jobs > 1) evidence.options.threads = 1;
    LocateResult result = locate_files(evidence, machine_, paths);
    const auto pages = pages_of(files, paths, result.findings.scans);
    const auto& rests_on = origin_.files;
    const report::TriageCase one{name,
                                 key,
                                 report_name(name),
                                 pages,
                                 result.findings,
                                 rests_on.front().sha256,
                                 rests_on.size() > 1 ? rests_on.back().sha256 : ""};
    const auto written =
        write_file((folder_.root / one.report).string(),
                   html_of(evidence, machine_, origin_with(files), result), Existing::replace);
    if (!written.empty()) throw std::runtime_error(to_string(written.front()));
    const auto rank = report::triage_rank(result.findings);
    return {name,
            key,
            rank.group,
            rank.score,
            status_of(result.findings.scans) != ExitStatus::ok,
            report::triage_line(one, SCRAPETRACE_VERSION),
            report::triage_row(one, evidence.unit),
            report::triage_sentence(one)};
  }

  // The scans under their listed names, which do not say where the archive lies; a file of several pages
  // gives several.
  static std::vector<report::TriageFile> pages_of(const std::vector<report::TriageFile>& files,
                                                  const std::vector<std::string>& paths,
                                                  std::vector<ScanReport>& scans) {
    std::vector<report::TriageFile> pages;
    std::size_t file = 0;
    for (auto& scan : scans) {
      while (file + 1 < paths.size() && !scan.file.starts_with(paths[file])) ++file;
      scan.file = files[file].name + scan.file.substr(std::min(paths[file].size(), scan.file.size()));
      pages.push_back({scan.file, files[file].sha256});
    }
    return pages;
  }

  [[nodiscard]] report::Origin origin_with(const std::vector<report::TriageFile>& files) const {
    report::Origin out = origin_;
    for (std::size_t i = 0; i < files.size(); ++i)
      out.files.push_back({fmt::format("scan {}", i + 1), files[i].name, files[i].sha256});
    return out;
  }

  const TriageRequest& request_;
  const Machine& machine_;
  TriageFolder folder_;
  Worklist& work_;
  fs::path base_;  // that the listed files are relative to
  std::string settings_;
  report::Origin origin_;  // layout and chart
  std::mutex mutex_;       // over the worklist, at_, progress_ and failure_
  std::string at_;
  Progress* progress_ = nullptr;
  std::exception_ptr failure_;
};

Problems list(const TriageRequest& request, Worklist& work) {
  const std::string& input = request.input.front();
  const auto listed = [&](const std::string& name, const std::string& file) {
    if (request.shard.holds(name)) work.list(name, file);
  };
  Problems problems;
  work.begin_listing();
  if (input == "-") {
    problems = triage::list_manifest(std::cin, "standard input", listed);
  } else if (fs::is_directory(input)) {
    auto left_out = triage::list_folder(input, listed);
    if (!left_out) return left_out.problems();
    complain(left_out->passed_over);
  } else {
    std::ifstream manifest(input);
    if (!manifest) return {{input, 0, 0, "cannot be read; name a folder or a manifest"}};
    problems = triage::list_manifest(manifest, input, listed);
  }
  if (problems.empty()) work.end_listing();
  return problems;
}

fs::path base_of(const std::string& input) {
  if (input == "-") return {};
  return fs::is_directory(input) ? fs::path(input) : fs::path(input).parent_path();
}

ExitStatus run(const TriageRequest& request, const Machine& machine) {
  const TriageFolder folder{request.out};
  const std::string settings = settings_of(request.evidence);
  Worklist work(folder.state(), settings);
  if (!work.same_settings()) return refuse_other_settings(folder);
  if (const auto problems = list(request, work); !problems.empty()) return refuse(problems);
  if (work.cases() == 0 && request.shard.count == 1)
    return refuse({{request.input.front(), 0, 0, "lists no scan; TIFF, PNG, JPEG and the like are scans"}});
  Run(request, machine, folder, work, base_of(request.input.front()), settings)
      .judge_all(static_cast<int>(work.cases() - work.lines()));
  return write_results(folder, work, machine, origin_of(request.evidence, {}));
}

}  // namespace

ExitStatus triage(const TriageRequest& request) {
  const auto machine = load_machine(request.evidence);
  if (!machine) return refuse(machine.problems());
  if (const auto problems = prepare(request, {request.out}); !problems.empty()) return refuse(problems);
  try {
    return request.merge ? merge_triage(request, *machine) : run(request, *machine);
  } catch (const store::StoreError& error) {
    return refuse({{request.out, 0, 0,
                    fmt::format("cannot be worked on: {}; is another triage running there?", error.what())}});
  }
}

}  // namespace scrapetrace::cli
