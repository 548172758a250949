#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <utility>
#include <vector>

#include "layout/limits.h"
#include "layout/parse_toml.h"
#include "layout/schema.h"
#include "layout/table_reader.h"
#include "layout/unique_names.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace::layout {

namespace {

// Two decimals of a millimetre are written; less than this beyond an edge is rounding.
constexpr double kTouchMm = 1e-6;

void check_inks(TableReader& reader, const std::vector<std::string>& inks, const Layout* layout,
                ProblemList& problems) {
  for (std::size_t i = 0; i < inks.size(); ++i) {
    if (std::find(inks.begin(), inks.begin() + static_cast<std::ptrdiff_t>(i), inks[i]) !=
        inks.begin() + static_cast<std::ptrdiff_t>(i)) {
      reader.problem("inks", fmt::format("inks of {} list {} twice; list each ink once.", reader.called(),
                                         in_quotes(inks[i])));
    }
    if (layout != nullptr) find_named("ink", layout->inks, inks[i], reader.place("inks"), problems);
  }
}

// True when the interval is well formed and lies on the sheet.
bool check_interval(TableReader& reader, std::string_view key, const std::array<double, 2>& interval,
                    double sheet_mm) {
  if (interval[0] >= interval[1]) {
    reader.problem(key, fmt::format("{} of {} goes from {} to {}; the first must be below the second.", key,
                                    reader.called(), interval[0], interval[1]));
    return false;
  }
  if (sheet_mm > 0 && (interval[0] < -kTouchMm || interval[1] > sheet_mm + kTouchMm)) {
    reader.problem(key, fmt::format("{} of {} goes from {} to {}; the sheet goes from 0 to {} mm.", key,
                                    reader.called(), interval[0], interval[1], sheet_mm));
    return false;
  }
  return true;
}

bool overlap(const std::array<double, 2>& a, const std::array<double, 2>& b) {
  return a[0] < b[1] - kTouchMm && b[0] < a[1] - kTouchMm;
}

class ChartReading {
 public:
  ChartReading(const Layout* layout, ProblemList& problems) : layout_(layout), problems_(problems) {}

  void read(TableReader& root) {
    root.name("name", chart.name);
    root.numbers("sheet_mm", chart.sheet_mm, kSheetMm);
    for (const auto* table : root.tables("patch", kMostPatches)) read_patch(*table);
    for (const auto* table : root.tables("mark", kMostMarks, Need::optional)) read_mark(*table);
    root.finish();
  }

  Chart chart;

 private:
  void read_patch(const toml::table& table) {
    ++patches_met_;
    TableReader reader(table, fmt::format("patch {}", patches_met_), problems_);
    Patch patch;
    if (reader.names("inks", patch.inks, kMostInks)) check_inks(reader, patch.inks, layout_, problems_);
    bool placed = reader.numbers("x_mm", patch.x_mm, kPositionMm) &&
                  check_interval(reader, "x_mm", patch.x_mm, chart.sheet_mm[0]);
    placed = reader.numbers("y_mm", patch.y_mm, kPositionMm) &&
             check_interval(reader, "y_mm", patch.y_mm, chart.sheet_mm[1]) && placed;
    reader.number("coverage", patch.coverage, kFraction);
    reader.finish();
    if (!placed) return;
    for (std::size_t i = 0; i < chart.patches.size(); ++i) {
      if (!overlap(patch.x_mm, chart.patches[i].x_mm) || !overlap(patch.y_mm, chart.patches[i].y_mm))
        continue;
      problems_.add(
          reader.place(),
          fmt::format("patch {} overlaps patch {}; list both inks in one patch, or move one of them.",
                      patches_met_, numbers_[i]));
    }
    numbers_.push_back(patches_met_);
    chart.patches.push_back(std::move(patch));
  }

  void read_mark(const toml::table& table) {
    TableReader reader(table, fmt::format("mark {}", chart.marks.size() + 1), problems_);
    Mark mark;
    reader.word("kind", mark.kind, {"tag"});
    if (reader.whole("id", mark.id, kMarkId)) check_mark_id(reader, mark.id);
    const bool placed = reader.numbers("center_mm", mark.center_mm, kPositionMm);
    const bool sized = reader.number("size_mm", mark.size_mm, kMarkSizeMm);
    const double half = mark.size_mm / 2;
    for (std::size_t i = 0; placed && sized && i < 2; ++i) {
      if (chart.sheet_mm[i] <= 0) continue;
      if (mark.center_mm[i] - half >= -kTouchMm && mark.center_mm[i] + half <= chart.sheet_mm[i] + kTouchMm)
        continue;
      reader.problem("center_mm", fmt::format("{} reaches beyond the sheet, {} x {} mm; move it.",
                                              reader.called(), chart.sheet_mm[0], chart.sheet_mm[1]));
      break;
    }
    reader.finish();
    chart.marks.push_back(std::move(mark));
  }

  void check_mark_id(TableReader& reader, int id) {
    for (const auto& other : chart.marks) {
      if (other.id != id) continue;
      reader.problem(
          "id", fmt::format("id of {} is {}, as on another mark; give each its own.", reader.called(), id));
      return;
    }
  }

  const Layout* layout_;
  ProblemList& problems_;
  int patches_met_ = 0;
  std::vector<int> numbers_;  // of the patches kept
};

}  // namespace

Result<Chart> read_chart(std::string_view toml, std::string_view file, const Layout* layout) {
  ProblemList problems(file);
  const toml::table tree = parse_toml(toml, problems);
  TableReader root(tree, "the chart", problems);
  if (!check_schema(root, "scrapetrace.chart/1")) return problems.take();
  ChartReading in(layout, problems);
  in.read(root);
  if (!problems.empty()) return problems.take();
  return std::move(in.chart);
}

}  // namespace scrapetrace::layout
