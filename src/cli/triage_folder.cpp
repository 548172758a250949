#include "cli/triage_folder.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <optional>
#include <stdexcept>

#include "cli/contents.h"
#include "cli/html.h"
#include "cli/output.h"
#include "hash/sha256.h"
#include "report/triage_report.h"
#include "report/words.h"

namespace scrapetrace::cli {

namespace fs = std::filesystem;
using triage::Line;
using triage::Worklist;

namespace {

void clear(const TriageFolder& folder) {
  for (const auto& path :
       {folder.state(), folder.state() + "-journal", folder.lines(), folder.overview(), folder.part()})
    fs::remove(path);
  fs::remove_all(folder.reports());
}

// Temporary files of a killed run.
void remove_parts(const fs::path& folder) {
  for (const auto& entry : fs::directory_iterator(folder)) {
    if (entry.path().filename().string().starts_with('.') && entry.path().extension() == ".part")
      fs::remove(entry.path());
  }
}

constexpr int kFormOfLines = 2;  // format version of the worklist

// Options of the run that change no answer. Layout and chart count by content, units by name.
bool is_of_the_run(const std::string& option) {
  constexpr std::array kNames{"layout", "chart", "units", "out", "jobs", "shard", "merge", "force", "trace"};
  return std::find(kNames.begin(), kNames.end(), option) != kNames.end();
}

// Limits for reading: raising them for some failed scans must not reject an existing folder.
bool is_of_the_reading(const std::string& option) {
  return option.starts_with("most-") || option == "no-sandbox";
}

// Whether the results would lie inside a folder that is judged.
bool lies_inside(const fs::path& inner, const fs::path& outer) {
  std::error_code error;
  if (!fs::is_directory(outer, error)) return false;
  const fs::path in = fs::weakly_canonical(inner, error);
  const fs::path out = fs::canonical(outer, error);
  return std::mismatch(out.begin(), out.end(), in.begin(), in.end()).first == out.end();
}

Problem cannot_write(const std::string& out, const std::error_code& error) {
  return {out, 0, 0, "cannot be written: " + error.message()};
}

// Writes judged cases to three files.
class Results {
 public:
  Results(const TriageFolder& folder, report::LengthUnit unit)
      : part_lines_(folder.lines()),
        part_page_(folder.overview()),
        unit_(unit),
        lines_(part_lines_.path(), std::ios::binary),
        page_(part_page_.path(), std::ios::binary) {}

  void begin(const report::TriageCount& count, const report::Origin& origin, const std::string& layout) {
    page_ << report::triage_head(count, origin, layout);
  }

  void add(const report::TriageCase& one, const std::string& json) {
    lines_ << json << '\n';
    if (one.group != group_) page_ << report::triage_group(one.group);
    group_ = one.group;
    page_ << report::triage_row(one, unit_);
  }

  // Why writing failed; empty on success.
  std::string end() {
    for (const AtomicFile* part : {&part_lines_, &part_page_}) {
      if (!part->failed().empty()) return part->failed();
    }
    page_ << report::triage_tail();
    lines_.close();
    page_.close();
    if (!lines_ || !page_) return "is the disk full?";
    for (AtomicFile* part : {&part_lines_, &part_page_}) {
      if (auto reason = part->commit(Existing::replace); !reason.empty()) return reason;
    }
    return {};
  }

 private:
  AtomicFile part_lines_;
  AtomicFile part_page_;
  report::LengthUnit unit_;
  std::ofstream lines_;
  std::ofstream page_;
  std::optional<report::TriageGroup> group_;
};

// The worklist is ours: triage_line() wrote the line.
report::TriageCase case_of(const Line& line) {
  auto one = report::triage_case_of(line.json, "triage.sqlite");
  if (!one) throw std::runtime_error(to_string(one.problems().front()));
  return std::move(one).value();
}

}  // namespace

std::string settings_of(const EvidenceRequest& request) {
  std::string all = fmt::format("{}\n{}\n{}\n", kFormOfLines, SCRAPETRACE_VERSION, request.units);
  for (const auto& [name, value] : request.settings) {
    if (!is_of_the_run(name) && !is_of_the_reading(name)) all += name + '=' + value + '\n';
  }
  for (const auto& file : {request.layout, request.chart})
    all += (file.empty() ? "none" : contents_hash(file).value()) + '\n';
  return hash::sha256(all);
}

std::string key_settings_of(const EvidenceRequest& request) {
  std::string all = settings_of(request) + '\n';
  for (const auto& [name, value] : request.settings) {
    if (is_of_the_reading(name)) all += name + '=' + value + '\n';
  }
  return all;
}

// Names come from others: keep only characters valid in every file system and link.
std::string report_name(const std::string& name) {
  std::string plain;
  for (const char c : name.substr(0, 60)) {
    const bool kept = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-';
    plain += kept ? c : '_';
  }
  return fmt::format("reports/{}-{}.html", plain, hash::sha256(name).substr(0, 8));
}

Line line_of(const report::TriageCase& one) {
  return {one.name, one.key, one.settled, static_cast<int>(one.group), one.score, report::triage_line(one)};
}

Result<triage::FolderLock> prepare(const TriageRequest& request, const TriageFolder& folder) {
  for (const auto& input : request.input) {
    if (lies_inside(folder.root, input))
      return Problem{request.out, 0, 0, "lies in " + input + ", which is read; name a folder outside it"};
  }
  std::error_code error;
  fs::create_directories(folder.root, error);
  if (error) return cannot_write(request.out, error);
  auto lock = triage::FolderLock::take(folder.root.string());
  if (!lock) return lock;
  fs::create_directories(folder.reports(), error);
  if (error) return cannot_write(request.out, error);
  const bool ours = fs::exists(folder.state());
  bool others = false;
  for (const auto& entry : fs::directory_iterator(folder.root))
    others = others || entry.path() != folder.reports();
  others = others || !fs::is_empty(folder.reports());
  if (!ours && others && !request.force) {
    return Problem{
        request.out, 0, 0,
        "holds something that is no triage of ours; name another folder, or --force to overwrite there"};
  }
  if (request.force) clear(folder);
  fs::create_directories(folder.reports());
  fs::remove(folder.part());  // the old results are no longer complete
  remove_parts(folder.root);
  remove_parts(folder.reports());
  return lock;
}

ExitStatus refuse_other_settings(const TriageFolder& folder) {
  return refuse(
      {{folder.root.string(), 0, 0,
        "holds a triage with another layout, chart, option or program version; name another folder, "
        "or --force to start over"}});
}

ExitStatus write_results(const TriageFolder& folder, Worklist& work, const TriageRequest& request,
                         const Machine& machine) {
  const auto failed = [&](const std::string& reason) {
    return refuse({{folder.root.string(), 0, 0, "the results cannot be written: " + reason}});
  };
  report::TriageCount count;
  bool complete = true;
  work.each_line([&](const Line& line) {
    const auto one = case_of(line);
    count.add(one);
    complete = complete && one.complete;
  });
  Results results(folder, request.evidence.unit);
  results.begin(count, origin_of(request.evidence, {}), machine.layout.name);
  ExitStatus printed = ExitStatus::ok;
  work.each_line([&](const Line& line) {
    const auto one = case_of(line);
    results.add(one, line.json);
    if (printed == ExitStatus::ok) printed = print_result(report::triage_sentence(one));
  });
  if (printed == ExitStatus::ok) printed = print_result('\n' + report::count_sentence(count) + '\n');
  const auto of = [&](report::TriageGroup group) { return count.cases[static_cast<std::size_t>(group)]; };
  // Only these two groups send somebody to a machine.
  if (printed == ExitStatus::ok && of(report::TriageGroup::clean) + of(report::TriageGroup::choose) > 0)
    printed = print_answer('\n' + report::cautions_text());
  if (const auto reason = results.end(); !reason.empty()) return failed(reason);
  const auto lines = hash::sha256_of_file(folder.lines());
  if (!lines) return refuse(lines.problems());
  const report::TriagePart part{fmt::format("{}/{}", request.shard.index, request.shard.count),
                                settings_of(request.evidence), count.all(), *lines};
  if (const auto problems = write_file(folder.part(), report::triage_part_json(part), Existing::replace);
      !problems.empty())
    return refuse(problems);
  if (printed != ExitStatus::ok) return printed;
  return complete ? ExitStatus::ok : ExitStatus::scan_failed;
}

}  // namespace scrapetrace::cli
