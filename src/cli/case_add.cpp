#include "cli/case_add.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <ctime>
#include <set>

#include "casebook/casebook.h"
#include "cli/contents.h"
#include "cli/evidence.h"
#include "cli/input.h"
#include "cli/judging.h"
#include "cli/output.h"
#include "cli/place_flag.h"
#include "cli/read_scans.h"
#include "report/case_json.h"
#include "report/recheck_report.h"
#include "report/words.h"
#include "workflow/pictures.h"

namespace scrapetrace::cli {

namespace {

using casebook::Record;

// Collects records; stops at the first invalid file.
class Gathering {
 public:
  explicit Gathering(const CaseAddition& addition) : addition_(addition) {
    base_.unit = addition.unit;
    base_.who = addition.who;
    base_.at = addition.at.empty() ? fmt::format("{:%FT%TZ}", fmt::gmtime(std::time(nullptr))) : addition.at;
    base_.tool_version = SCRAPETRACE_VERSION;
  }

  Problems gather() {
    load_machine_given();
    for (const auto& scan : addition_.scans) add_scan(scan);
    add_report("finding", addition_.finding, "scrapetrace.locate/1");
    add_report("recheck", addition_.recheck, "scrapetrace.recheck/1");
    add_report("verdict", addition_.verdict, "scrapetrace.accept/1");
    if (!addition_.limits.empty()) add_judgement();
    for (const auto& flag : addition_.cleaned) add_cleaned(flag);  // needs the findings added before
    if (!addition_.note.empty()) add("note", addition_.note, report::note_body(addition_.note));
    return problems_;
  }

  // Marks reports that came as files, and whether the book holds the scans they are based on.
  Result<std::vector<Record>> marked(const casebook::Casebook& book) && {
    std::set<std::string> held;
    const auto hold = [&](const Record& record) {
      if (record.kind == "scan") held.insert(report::scan_hash(record.body));
    };
    const auto problems = book.each(addition_.unit, hold);
    if (!problems.empty()) return problems;
    for (const auto& record : records_) hold(record);
    for (const auto& given : given_) records_[given.record].summary += mark_of(given, held);
    return std::move(records_);
  }

 private:
  // A report read from a file.
  struct Given {
    std::size_t record = 0;
    std::string file;
    std::vector<report::InputFile> scans;
  };

  static std::string mark_of(const Given& given, const std::set<std::string>& held) {
    const auto& scans = given.scans;
    const auto missing = [&](const auto& scan) { return !held.contains(scan.sha256); };
    const auto away = std::count_if(scans.begin(), scans.end(), missing);
    const std::string of = fmt::format("{} scan{}", scans.size(), scans.size() == 1 ? "" : "s");
    std::string what = fmt::format("its {} {} in this book", of, scans.size() == 1 ? "is" : "are");
    if (scans.empty()) {
      what = "it names no scan";
    } else if (away > 0) {
      what = fmt::format("NOT PROVEN: {} of its {} not in this book, as {}", away, of,
                         std::find_if(scans.begin(), scans.end(), missing)->name);
    }
    return fmt::format(" [from the file {}; {}]", given.file, what);
  }

  Record& add(const char* kind, std::string summary, std::string body) {
    records_.push_back(base_);
    records_.back().kind = kind;
    records_.back().summary = std::move(summary);
    records_.back().body = std::move(body);
    return records_.back();
  }

  void complain_of(const Problems& problems) {
    problems_.insert(problems_.end(), problems.begin(), problems.end());
  }

  void load_machine_given() {
    if (addition_.layout.empty()) return;
    request_.layout = addition_.layout;
    request_.chart = addition_.chart;
    request_.picture = "thumbnails";
    request_.reading = addition_.reading;
    auto machine = load_machine(request_);
    if (!machine) return complain_of(machine.problems());
    machine_ = std::move(machine).value();
    base_.layout = machine_->layout.name;
    base_.layout_sha256 = contents_hash(addition_.layout).value();
  }

  void add_scan(const std::string& file) {
    const auto digest = contents_hash(file);
    if (!digest) return complain_of(digest.problems());
    Record& record = add("scan", fmt::format("{} (SHA-256 {})", file, digest->substr(0, 16)),
                         report::scan_body(file, *digest));
    if (!machine_) return;
    const auto pages = workflow::encode(locate_files(request_, *machine_, {file}).thumbnails);
    if (pages.front()) record.picture = pages.front()->png;
  }

  void add_cleaned(const std::string& flag) {
    if (!machine_) return complain_of({{"", 0, 0, "--cleaned needs --layout, to check its names"}});
    const auto place = cleaned_from_flag("cleaned", flag, machine_->layout);
    if (!place) return complain_of(place.problems());
    put_place(add("cleaned", "Cleaned " + report::cleaned_name(*place) + ".", report::cleaned_body(*place)),
              *place);
  }

  static void put_place(Record& record, const Cleaned& place) {
    record.head = place.head;
    record.side = to_string(place.side);
    record.surface = place.surface;
  }

  void add_report(const char* kind, const std::string& file, const char* schema) {
    if (file.empty()) return;
    const auto json = load_text(file);
    if (!json) return complain_of(json.problems());
    const auto facts = report::facts_of(*json, file, schema);
    if (!facts) return complain_of(facts.problems());
    Record& record = add(kind, facts->summary, *json);
    given_.push_back({records_.size() - 1, file, facts->scans});
    record.outcome = facts->outcome;
    record.tool_version = facts->tool_version;
    if (record.layout != facts->layout || !facts->layout_sha256.empty())
      record.layout_sha256 = facts->layout_sha256;
    record.layout = facts->layout;
    // With several places cleaned, nobody knows which one helped.
    if (facts->cleaned.size() == 1) put_place(record, facts->cleaned.front());
  }

  // The program's own verdict on the scans added with it.
  void add_judgement() {
    if (!machine_ || !problems_.empty()) return;
    const auto judged =
        judge_scans(request_, *machine_, {addition_.limits, addition_.scans, addition_.before});
    if (!judged) return complain_of(judged.problems());
    const auto story = judged->story(*machine_, request_.unit);
    Record& record =
        add("verdict", report::accept_sentence(story), report::accept_json(story, judged->origin));
    record.outcome = to_string(judged->result.verdict);
  }

  const CaseAddition& addition_;
  EvidenceRequest request_;
  std::optional<Machine> machine_;
  Record base_;
  std::vector<Record> records_;
  std::vector<Given> given_;
  Problems problems_;
};

}  // namespace

ExitStatus add_to_case(const CaseAddition& addition) {
  Gathering gathering(addition);
  if (const auto problems = gathering.gather(); !problems.empty()) return refuse(problems);
  auto book = casebook::Casebook::open(addition.book, true);
  if (!book) return refuse(book.problems());
  auto records = std::move(gathering).marked(*book);
  if (!records) return refuse(records.problems());
  const std::size_t number = records->size();
  auto open = std::move(book).value();
  const auto last_hash = open.add(std::move(records).value());
  if (!last_hash) return refuse(last_hash.problems());
  return print_result(fmt::format("{} record{} added to unit {}; the last has hash {}\n", number,
                                  number == 1 ? "" : "s", report::printable(addition.unit), *last_hash));
}

}  // namespace scrapetrace::cli
