#pragma once
// One case of many: its JSON line (scrapetrace.triage/2, docs/triage.md), its row, its place in the order.
// The line is the truth: row and sentence are made from it, whoever wrote it.

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "report/units.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/provenance.h"
#include "scrapetrace/result.h"

namespace scrapetrace::report {

// In the order of the overview; the number is the JSON's `group`.
enum class TriageGroup {
  mixed,
  clean,
  choose,
  other_causes,
  could_not_look,
  no_scan,
  too_faint,
  nothing_found
};
inline constexpr int kTriageGroups = 8;
const char* to_string(TriageGroup group);  // the JSON's `answer.kind`: "mixed", "clean", ...

struct TriageScan {
  std::string file;
  std::string sha256;  // empty: could not be read
  bool analysed = false;
  std::string verdict;  // as QualityVerdict's words
  std::vector<std::string> reasons;
};

// A scan that was left out, since it holds what another one of the case holds.
struct TriageCopy {
  std::string file;
  std::string same_as;
};

// An input that was left out, since it is no scan.
struct TriageLeftOut {
  std::string file;
  std::string reason;  // what follows its name: "is text"
};

struct TriageTarget {
  std::string head;
  std::string side;
  std::string surface;
  double probability = 0;
  bool over_jets = false;
  std::optional<double> touch_from_mm;  // as Target::touch_from_mm
};

struct TriageStreak {
  std::string cause;
  double x_sheet_mm = 0;
  double width_mm = 0;
  double loss = 0;
};

struct TriageCase {
  std::string name;
  std::string key;  // SHA-256 over contents and settings
  std::string tool_version;
  std::string layout_sha256;
  std::string chart_sha256;  // empty: without a chart
  TriageGroup group = TriageGroup::could_not_look;
  std::string sentence;
  double score = 0;  // within the group it falls
  std::optional<TriageTarget> target;
  std::optional<TriageStreak> worst;
  std::int64_t streaks = 0;
  std::int64_t traces = 0;
  std::int64_t unchecked = 0;
  std::string rescan;  // what to send back; empty: nothing
  std::vector<TriageScan> scans;
  std::vector<TriageCopy> copies;
  std::vector<TriageLeftOut> left_out;
  bool complete = true;  // false: some input of it that should give an answer gave none
  bool settled = true;   // false: for a reason of the moment (time, memory), so that a later run tries again
  std::string report;    // link, relative to the overview
};

// Fills in what the findings say: from `group` to `rescan`, `verdict` and what follows it of `scans`.
// Findings' scans and the case's are the same, in order; without any, it is what was left out that counts.
void take_findings(const Findings& findings, TriageCase& one);

std::string triage_line(const TriageCase& one);  // without the line's end
// The same back from somebody's line: nothing in it is out of bounds, and its parts agree with each other.
Result<TriageCase> triage_case_of(std::string_view line, const std::string& file);

std::string triage_row(const TriageCase& one, LengthUnit unit);  // <tr>...</tr>
// For a terminal: the case, its answer, and what to send back.
std::string triage_sentence(const TriageCase& one);

// What came in, and what became of it.
struct TriageCount {
  std::array<std::int64_t, kTriageGroups> cases{};
  std::int64_t left_out = 0;  // inputs, beside scans of cases that were judged
  std::int64_t copies = 0;
  void add(const TriageCase& one);
  [[nodiscard]] std::int64_t all() const;
};
// "101 in: 95 cases judged, 6 not: ..."
std::string count_sentence(const TriageCount& count);

// The overview's text before the rows, between those of one group and the next, and after them;
// self-contained.
std::string triage_head(const TriageCount& count, const Origin& origin, const std::string& layout_name);
std::string triage_group(TriageGroup group);
std::string triage_tail();

// What a triage of a part of the cases says of itself (scrapetrace.triage-part/1), for whoever merges it.
struct TriagePart {
  std::string part;      // "3/8"
  std::string settings;  // hash
  std::int64_t cases = 0;
  std::string lines_sha256;  // of cases.jsonl
};
std::string triage_part_json(const TriagePart& part);
Result<TriagePart> triage_part_of(std::string_view json, const std::string& file);

}  // namespace scrapetrace::report
