#include "cli/triage_merge.h"

#include <fmt/format.h>

#include <fstream>
#include <set>

#include "base/wording.h"
#include "cli/output.h"
#include "cli/triage_folder.h"
#include "hash/sha256.h"
#include "report/html_page.h"
#include "triage/open_inside.h"

namespace scrapetrace::cli {

namespace {

using report::TriageCase;
using report::TriagePart;
using triage::Shard;
using triage::Worklist;

constexpr std::size_t kMostPartBytes = 1U << 16U;
constexpr std::size_t kMostLineBytes = 4U << 20U;      // as for any untrusted JSON
constexpr std::size_t kMostReportBytes = 256U << 20U;  // ours have a megabyte per scan

std::string shown(const std::string& folder, const std::string& name) {
  return folder + '/' + name;
}

// Results of a shard from another machine, untrusted: everything is checked, its database is not opened, and
// no link may lead outside.
class ShardFolder {
 public:
  ShardFolder(std::string folder, std::string settings)
      : folder_(std::move(folder)), settings_(std::move(settings)) {}

  Result<Shard> part() {
    const auto record = triage::open_inside(folder_, "part.json");
    if (!record)
      return Problem{
          folder_, 0, 0,
          "holds no finished triage; name the folders that the shards were written to, or run this shard "
          "again: it goes on where it was"};
    const auto text = record->contents(kMostPartBytes);
    if (!text) return named("part.json", text.problems());
    auto part = report::triage_part_of(*text, shown(folder_, "part.json"));
    if (!part) return part.problems();
    part_ = std::move(part).value();
    if (part_.settings != settings_)
      return Problem{
          folder_, 0, 0,
          "was made with another layout, chart, option or program version; judge it again with these"};
    const auto shard = triage::shard_of(part_.part);
    if (!shard)
      return Problem{shown(folder_, "part.json"), 0, 0,
                     "says it is part " + in_quotes(part_.part) + "; it needs I/N"};
    shard_ = *shard;
    return shard_;
  }

  // Visits each case, checked.
  template <class Take>
  Problems each_case(const Take& take) const {
    const auto file = triage::open_inside(folder_, "cases.jsonl");
    if (!file) return named("cases.jsonl", file.problems());
    const auto digest = hash::sha256_of_file(file->path());
    if (!digest) return named("cases.jsonl", digest.problems());
    if (*digest != part_.lines_sha256)
      return {
          {shown(folder_, "cases.jsonl"), 0, 0, "is not what part.json says; copy the shard's folder again"}};
    std::ifstream lines(file->path(), std::ios::binary);
    std::int64_t number = 0;
    for (std::string line; take_line(lines, line);) {
      ++number;
      auto one = case_in(line, number);
      if (!one) return one.problems();
      if (auto problems = take(*one); !problems.empty()) return problems;
    }
    if (number == part_.cases) return {};
    return {{shown(folder_, "cases.jsonl"), 0, 0, fmt::format("holds {} cases of {}", number, part_.cases)}};
  }

  [[nodiscard]] Problems copy_report(const TriageCase& one, const TriageFolder& out) const {
    const auto file = triage::open_inside(folder_, one.report);
    if (!file) return named(one.report, file.problems());
    const auto page = file->contents(kMostReportBytes);
    if (!page) return named(one.report, page.problems());
    if (!report::is_our_page(*page))
      return {{shown(folder_, one.report), 0, 0,
               "is no page that this program writes: it could do what ours cannot; run this shard again"}};
    return write_file((out.root / one.report).string(), *page, Existing::replace);
  }

  [[nodiscard]] const std::string& name() const { return folder_; }

 private:
  static bool take_line(std::istream& lines, std::string& line) {
    line.clear();
    char c = 0;
    while (lines.get(c)) {
      if (c == '\n') return true;
      line += c;
      if (line.size() > kMostLineBytes) return true;  // truncated JSON is rejected later
    }
    return !line.empty();
  }

  [[nodiscard]] Result<TriageCase> case_in(const std::string& line, std::int64_t number) const {
    auto one = report::triage_case_of(line, shown(folder_, "cases.jsonl"));
    if (!one) {
      Problems problems = one.problems();
      for (Problem& problem : problems) problem.line = static_cast<int>(number);
      return problems;
    }
    const auto wrong = [&](const std::string& what) {
      return Problem{shown(folder_, "cases.jsonl"), static_cast<int>(number), 0,
                     "case " + in_quotes(one->name) + ' ' + what + "; run this shard again"};
    };
    if (!shard_.holds(one->name)) return wrong("belongs to another part than " + part_.part);
    if (one->report != report_name(one->name)) return wrong("has a report of another name");
    return one;
  }

  [[nodiscard]] Problems named(const std::string& file, Problems problems) const {
    for (Problem& problem : problems) {
      problem.file = shown(folder_, file);
      problem.what += "; run this shard again: it makes what is missing";
    }
    return problems;
  }

  std::string folder_;
  std::string settings_;
  TriagePart part_;
  Shard shard_;
};

// Checks that all shards are present, by name: nobody would notice missing customers.
Problems check_whole(const std::vector<std::pair<std::string, Shard>>& given, const std::string& out) {
  const int count = given.front().second.count;
  std::set<int> there;
  for (const auto& [folder, shard] : given) {
    if (shard.count != count) {
      return {{folder, 0, 0,
               fmt::format("is part {}/{}, but {} is one of {}; merge the parts of one division", shard.index,
                           shard.count, given.front().first, count)}};
    }
    there.insert(shard.index);
  }
  std::string missing;
  int absent = 0;
  for (int index = 1; index <= count; ++index) {
    if (there.contains(index)) continue;
    if (++absent <= 10) missing += fmt::format("{}{}/{}", missing.empty() ? "" : ", ", index, count);
  }
  if (absent == 0) return {};
  return {{out, 0, 0,
           fmt::format("cannot be merged: part{} {}{} not given; name {} folder, too", absent == 1 ? "" : "s",
                       missing,
                       absent > 10   ? fmt::format(" and {} more are", absent - 10)
                       : absent == 1 ? " is"
                                     : " are",
                       absent == 1 ? "its" : "each one's")}};
}

Problems add_case(const ShardFolder& from, const TriageCase& one, const TriageFolder& out, Worklist& work) {
  const std::string known = work.key_of(one.name, false);
  if (!known.empty() && known != one.key)
    return {{from.name(), 0, 0,
             "case " + one.name + " was judged on other scans in another shard; keep one of them"}};
  work.list({one.name, one.report, triage::Standing::found, ""});
  if (!one.settled && !work.key_of(one.name, true).empty()) return {};  // another shard could read it
  if (auto problems = from.copy_report(one, out); !problems.empty()) return problems;
  work.put(line_of(one));
  return {};
}

}  // namespace

ExitStatus merge_triage(const TriageRequest& request, const Machine& machine) {
  const TriageFolder out{request.out};
  const std::string settings = settings_of(request.evidence);
  std::vector<ShardFolder> shards;
  std::vector<std::pair<std::string, Shard>> given;
  for (const auto& folder : request.input) {
    shards.emplace_back(folder, settings);
    const auto shard = shards.back().part();
    if (!shard) return refuse(shard.problems());
    given.emplace_back(folder, *shard);
  }
  if (const auto problems = check_whole(given, request.out); !problems.empty()) return refuse(problems);
  Worklist work(out.state(), settings);
  if (!work.same_settings()) return refuse_other_settings(out);
  work.begin_listing();
  for (const ShardFolder& shard : shards) {
    const auto problems =
        shard.each_case([&](const TriageCase& one) { return add_case(shard, one, out, work); });
    if (!problems.empty()) return refuse(problems);
  }
  work.end_listing();
  return write_results(out, work, request, machine);
}

}  // namespace scrapetrace::cli
