#include "cli/case_add.h"

#include <fmt/chrono.h>
#include <fmt/format.h>

#include <ctime>

#include "casebook/casebook.h"
#include "cli/contents.h"
#include "cli/evidence.h"
#include "cli/input.h"
#include "cli/output.h"
#include "cli/picture.h"
#include "cli/place_flag.h"
#include "report/case_json.h"
#include "report/recheck_report.h"
#include "report/words.h"

namespace scrapetrace::cli {

namespace {

using casebook::Record;

// Gathers records; stops at the first file that is not what it should be.
class Gathering {
 public:
  explicit Gathering(const CaseAddition& addition) : addition_(addition) {
    base_.unit = addition.unit;
    base_.who = addition.who;
    base_.at = addition.at.empty() ? fmt::format("{:%FT%TZ}", fmt::gmtime(std::time(nullptr))) : addition.at;
    base_.tool_version = SCRAPETRACE_VERSION;
  }

  Result<std::vector<Record>> all() {
    load_machine_given();
    for (const auto& scan : addition_.scans) add_scan(scan);
    add_report("finding", addition_.finding, "scrapetrace.locate/1");
    add_report("recheck", addition_.recheck, "scrapetrace.recheck/1");
    add_report("verdict", addition_.verdict, "scrapetrace.accept/1");
    for (const auto& flag : addition_.cleaned) add_cleaned(flag);  // follows from what was found
    if (!addition_.note.empty()) add("note", addition_.note, report::note_body(addition_.note));
    if (!problems_.empty()) return problems_;
    return std::move(records_);
  }

 private:
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
    const auto pages = encode(locate_files(request_, *machine_, {file}).thumbnails);
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
    record.outcome = facts->outcome;
    record.tool_version = facts->tool_version;
    if (record.layout != facts->layout || !facts->layout_sha256.empty())
      record.layout_sha256 = facts->layout_sha256;
    record.layout = facts->layout;
    // Of several places cleaned at once nobody knows which one it was.
    if (facts->cleaned.size() == 1) put_place(record, facts->cleaned.front());
  }

  const CaseAddition& addition_;
  EvidenceRequest request_;
  std::optional<Machine> machine_;
  Record base_;
  std::vector<Record> records_;
  Problems problems_;
};

}  // namespace

ExitStatus add_to_case(const CaseAddition& addition) {
  auto records = Gathering(addition).all();
  if (!records) return refuse(records.problems());
  auto book = casebook::Casebook::open(addition.book, true);
  if (!book) return refuse(book.problems());
  const std::size_t number = records->size();
  auto open = std::move(book).value();
  if (const auto problems = open.add(std::move(records).value()); !problems.empty()) return refuse(problems);
  const auto state = open.verify("");
  if (!state) return refuse(state.problems());
  return print_result(fmt::format("{} record{} added to unit {}; the last has hash {}\n", number,
                                  number == 1 ? "" : "s", report::printable(addition.unit),
                                  state->last_hash));
}

}  // namespace scrapetrace::cli
