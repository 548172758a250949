#pragma once
// One case of a triage: its JSON line (scrapetrace.triage/2, docs/triage.md), its table row and its position.
// Row and sentence are derived from the line.

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

// In the overview's order; the number is the JSON's `group`.
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
  std::string sha256;  // empty: unreadable
  bool analysed = false;
  std::string verdict;  // as QualityVerdict's words
  std::vector<std::string> reasons;
};

// A scan that was left out as a copy of another scan of the case.
struct TriageCopy {
  std::string file;
  std::string same_as;
};

// An input that was left out as it is no scan.
struct TriageLeftOut {
  std::string file;
  std::string reason;  // a predicate for its name: "is text"
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
  std::string chart_sha256;  // empty: no chart
  TriageGroup group = TriageGroup::could_not_look;
  std::string sentence;
  double score = 0;  // within the group, in falling order
  std::optional<TriageTarget> target;
  std::optional<TriageStreak> worst;
  std::int64_t streaks = 0;
  std::int64_t traces = 0;
  std::int64_t unchecked = 0;
  std::string rescan;  // what to send again; empty: nothing
  std::vector<TriageScan> scans;
  std::vector<TriageCopy> copies;
  std::vector<TriageLeftOut> left_out;
  bool complete = true;  // false: an input that should have given an answer gave none
  bool settled = true;   // false: a transient failure (time, memory), so a later run tries again
  std::string report;    // link, relative to the overview
};

// Fills in `group` to `rescan`, `verdict` and the rest of `scans` from the findings, whose scans are those of
// the case, in order. Without scans, what was left out decides.
void take_findings(const Findings& findings, TriageCase& one);

std::string triage_line(const TriageCase& one);  // without the line's end
// Parses a line from an untrusted source: values within bounds and consistent.
Result<TriageCase> triage_case_of(std::string_view line, const std::string& file);

std::string triage_row(const TriageCase& one, LengthUnit unit);  // <tr>...</tr>
// For a terminal: the case, its answer, what to send again.
std::string triage_sentence(const TriageCase& one);

// How many inputs came in, and what became of them.
struct TriageCount {
  std::array<std::int64_t, kTriageGroups> cases{};
  std::int64_t left_out = 0;  // inputs beside the judged cases' scans
  std::int64_t copies = 0;
  void add(const TriageCase& one);
  [[nodiscard]] std::int64_t all() const;
};
// "101 in: 95 cases judged, 6 not: ..."
std::string count_sentence(const TriageCount& count);

// The overview's HTML before the rows, between two groups, and after the rows; self-contained.
std::string triage_head(const TriageCount& count, const Origin& origin, const std::string& layout_name);
std::string triage_group(TriageGroup group);
std::string triage_tail();

// Header of a triage shard's results (scrapetrace.triage-part/1), for merging.
struct TriagePart {
  std::string part;      // "3/8"
  std::string settings;  // hash
  std::int64_t cases = 0;
  std::string lines_sha256;  // of cases.jsonl
};
std::string triage_part_json(const TriagePart& part);
Result<TriagePart> triage_part_of(std::string_view json, const std::string& file);

}  // namespace scrapetrace::report
