#include "cli/triage_folder.h"

#include <fmt/format.h>

#include <array>
#include <fstream>

#include "cli/contents.h"
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

}  // namespace

std::string settings_of(const EvidenceRequest& request) {
  std::string all =
      fmt::format("{}\n{}\n{}\n{}\n{}\n{}\n", SCRAPETRACE_VERSION, request.options.dpi,
                  request.options.false_alarm_rate, request.lead_edge, request.mirrored, request.units);
  for (const auto& file : {request.layout, request.chart})
    all += (file.empty() ? "none" : contents_hash(file).value()) + '\n';
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

Problems prepare(const TriageRequest& request, const TriageFolder& folder) {
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

ExitStatus refuse_other_settings(const TriageFolder& folder) {
  return refuse(
      {{folder.root.string(), 0, 0,
        "holds a triage with another layout, chart, option or program version; name another folder, "
        "or --force to start over"}});
}

ExitStatus write_results(const TriageFolder& folder, Worklist& work, const Machine& machine,
                         const report::Origin& origin) {
  PartFile part_lines(folder.lines());
  PartFile part_page(folder.overview());
  std::ofstream lines(part_lines.path(), std::ios::binary);
  std::ofstream page(part_page.path(), std::ios::binary);
  std::array<std::int64_t, report::kTriageGroups> cases{};
  work.each_line([&](const Line& line) { ++cases.at(static_cast<std::size_t>(line.group)); });
  page << report::triage_head(cases, origin, machine.layout.name);
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
  // Only these two send somebody to a machine.
  if (printed == ExitStatus::ok && cases[0] + cases[1] > 0)
    printed = print_answer('\n' + report::cautions_text());
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

}  // namespace scrapetrace::cli
