#pragma once
// One case of many: its JSON line (scrapetrace.triage/1, docs/triage.md), its row, its place in the order.

#include <array>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "report/provenance.h"
#include "report/units.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::report {

struct TriageFile {
  std::string name;
  std::string sha256;  // empty: could not be read
};

// A scan that was left out, since it holds what another one of the case holds.
struct TriageCopy {
  std::string name;
  std::string same_as;
};

struct TriageCase {
  std::string name;
  std::string key;     // SHA-256 over contents and settings
  std::string report;  // link, relative to the overview
  std::vector<TriageFile> files;
  std::vector<TriageCopy> copies;
  const Findings& findings;
  std::string layout_sha256;
  std::string chart_sha256;  // empty: without a chart
};

// Groups in order: 0 clean, 1 choose, 2 other causes, 3 could not look, 4 nothing found. Within a group the
// score falls: the worst streak's missing ink (loss times width, mm) times the probability of what is blamed.
struct TriageRank {
  int group = 0;
  double score = 0;
};
TriageRank triage_rank(const Findings& findings);

// What to send back when some scan could not be used, or not fully; empty when all could.
std::string rescan_sentence(const TriageCase& one);

std::string triage_line(const TriageCase& one, std::string_view tool_version);  // without the line's end
std::string triage_row(const TriageCase& one, LengthUnit unit);                 // <tr>...</tr>

// What was left out, in one sentence or more; empty when nothing was.
std::string copies_sentence(const std::vector<TriageCopy>& copies);

// For a terminal: the case, its answer, and what to send back.
std::string triage_sentence(const TriageCase& one);

inline constexpr int kTriageGroups = 5;

// The overview's text before the rows, between those of one group and the next, and after them;
// self-contained. `cases` counts by group.
std::string triage_head(const std::array<std::int64_t, kTriageGroups>& cases, const Origin& origin,
                        const std::string& layout_name);
std::string triage_group(int group);
std::string triage_tail();

}  // namespace scrapetrace::report
