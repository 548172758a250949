#include "cli/triage_run.h"

#include <fmt/format.h>

#include <exception>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <mutex>
#include <thread>

#include "cli/html.h"
#include "cli/output.h"
#include "cli/progress.h"
#include "hash/sha256.h"
#include "report/triage_report.h"
#include "triage/list_cases.h"
#include "triage/worklist.h"

namespace scrapetrace::cli {

namespace {

namespace fs = std::filesystem;
using triage::Line;
using triage::Worklist;

struct Folder {
  fs::path root;
  [[nodiscard]] std::string state() const { return (root / "triage.sqlite").string(); }
  [[nodiscard]] std::string lines() const { return (root / "cases.jsonl").string(); }
  [[nodiscard]] std::string overview() const { return (root / "overview.html").string(); }
  [[nodiscard]] fs::path reports() const { return root / "reports"; }
};

// What a line depends on besides the scans themselves.
std::string settings_of(const EvidenceRequest& request) {
  std::string all = fmt::format("{}\n{}\n{}\n{}\n", SCRAPETRACE_VERSION, request.options.dpi,
                                request.options.false_alarm_rate, request.lead_edge);
  for (const auto& file : {request.layout, request.chart})
    all += (file.empty() ? "none" : hash::sha256_of_file(file).value()) + '\n';
  return hash::sha256(all);
}

// Names are chosen by others: only letters that every file system and link takes.
std::string report_name(const std::string& name) {
  std::string plain;
  for (const char c : name.substr(0, 60)) {
    const bool kept = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-';
    plain += kept ? c : '_';
  }
  return fmt::format("reports/{}-{}.html", plain, hash::sha256(name).substr(0, 8));
}

void clear(const Folder& folder) {
  for (const auto& path : {folder.state(), folder.state() + "-journal", folder.lines(), folder.overview()})
    fs::remove(path);
  fs::remove_all(folder.reports());
}

// Pieces that a killed run left behind.
void remove_parts(const fs::path& folder) {
  for (const auto& entry : fs::directory_iterator(folder)) {
    if (entry.path().filename().string().starts_with('.') && entry.path().extension() == ".part")
      fs::remove(entry.path());
  }
}

Problems prepare(const TriageRequest& request, const Folder& folder) {
  std::error_code error;
  fs::create_directories(folder.reports(), error);
  if (error) return {{request.out, 0, 0, "cannot be written: " + error.message()}};
  const bool ours = fs::exists(folder.state());
  bool others = false;
  for (const auto& entry : fs::directory_iterator(folder.root))
    others = others || entry.path() != folder.reports();
  others = others || !fs::is_empty(folder.reports());
  if (!ours && others && !request.force) {
    return {
        {request.out, 0, 0,
         "holds something that is no triage of ours; name another folder, or --force to overwrite there"}};
  }
  if (request.force) clear(folder);
  fs::create_directories(folder.reports());
  remove_parts(folder.root);
  remove_parts(folder.reports());
  return {};
}

class Run {
 public:
  Run(const TriageRequest& request, const Machine& machine, Folder folder, Worklist& work, fs::path base,
      std::string settings)
      : request_(request),
        machine_(machine),
        folder_(std::move(folder)),
        work_(work),
        base_(std::move(base)),
        settings_(std::move(settings)) {}

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
    for (std::size_t i = 0; i < files.size(); ++i) result.findings.scans[i].file = files[i].name;
    const report::TriageCase one{name, key, report_name(name), files, result.findings};
    const auto written = write_file((folder_.root / one.report).string(),
                                    html_of(evidence, machine_, paths, result), Existing::replace);
    if (!written.empty()) throw std::runtime_error(to_string(written.front()));
    const auto rank = report::triage_rank(result.findings);
    return {name,
            key,
            rank.group,
            rank.score,
            status_of(result.findings.scans) != ExitStatus::ok,
            report::triage_line(one, SCRAPETRACE_VERSION),
            report::triage_row(one),
            report::triage_sentence(one)};
  }

  const TriageRequest& request_;
  const Machine& machine_;
  Folder folder_;
  Worklist& work_;
  fs::path base_;  // that the listed files are relative to
  std::string settings_;
  std::mutex mutex_;  // over the worklist, at_, progress_ and failure_
  std::string at_;
  Progress* progress_ = nullptr;
  std::exception_ptr failure_;
};

// Streamed into another name and then renamed: the lines of a hundred thousand cases need not fit in memory.
ExitStatus write_results(const Folder& folder, Worklist& work, const Machine& machine) {
  PartFile part_lines(folder.lines());
  PartFile part_page(folder.overview());
  std::ofstream lines(part_lines.path(), std::ios::binary);
  std::ofstream page(part_page.path(), std::ios::binary);
  std::array<std::int64_t, report::kTriageGroups> cases{};
  work.each_line([&](const Line& line) { ++cases.at(static_cast<std::size_t>(line.group)); });
  page << report::triage_head(cases, SCRAPETRACE_VERSION, machine.layout.name);
  int group = -1;
  bool failed = false;
  ExitStatus printed = ExitStatus::ok;
  work.each_line([&](const Line& line) {
    lines << line.json << '\n';
    if (line.group != group) page << report::triage_group(line.group);
    group = line.group;
    page << line.row;
    failed = failed || line.failed;
    if (printed == ExitStatus::ok) printed = print_result(line.sentence);
  });
  page << report::triage_tail();
  lines.close();
  page.close();
  if (!lines || !page)
    return refuse({{folder.root.string(), 0, 0, "the results cannot be written; is the disk full?"}});
  for (PartFile* part : {&part_lines, &part_page}) {
    if (const auto reason = part->put_in_place(Existing::replace); !reason.empty())
      return refuse({{folder.root.string(), 0, 0, "the results cannot be written: " + reason}});
  }
  if (printed != ExitStatus::ok) return printed;
  return failed ? ExitStatus::scan_failed : ExitStatus::ok;
}

Problems list(const std::string& input, Worklist& work) {
  const auto listed = [&](const std::string& name, const std::string& file) { work.list(name, file); };
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
  const Folder folder{request.out};
  const std::string settings = settings_of(request.evidence);
  Worklist work(folder.state(), settings);
  if (!work.same_settings()) {
    return refuse(
        {{request.out, 0, 0,
          "holds a triage with another layout, chart, option or program version; name another folder, or "
          "--force to start over"}});
  }
  if (const auto problems = list(request.input.front(), work); !problems.empty()) return refuse(problems);
  if (work.cases() == 0)
    return refuse({{request.input.front(), 0, 0, "lists no scan; TIFF, PNG, JPEG and the like are scans"}});
  Run(request, machine, folder, work, base_of(request.input.front()), settings)
      .judge_all(static_cast<int>(work.cases() - work.lines()));
  return write_results(folder, work, machine);
}

}  // namespace

ExitStatus triage(const TriageRequest& request) {
  const auto machine = load_machine(request.evidence);
  if (!machine) return refuse(machine.problems());
  if (const auto problems = prepare(request, {request.out}); !problems.empty()) return refuse(problems);
  try {
    return run(request, *machine);
  } catch (const store::StoreError& error) {
    return refuse({{request.out, 0, 0,
                    fmt::format("cannot be worked on: {}; is another triage running there?", error.what())}});
  }
}

}  // namespace scrapetrace::cli
