// How good the answers are, on cases drawn at random. Fixed seeds: the figures move only when locate does.

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <sstream>

#include "score/run_cases.h"
#include "score/summary.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace::score {
namespace {

std::string text_of(const std::string& path) {
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  return text.str();
}

std::vector<ScoreMachine> shipped_machines() {
  std::vector<ScoreMachine> machines;
  for (const std::string name : {"quennip", "tavvick", "hobdrel"}) {
    const std::string folder = SCRAPETRACE_SOURCE_DIR "/geometry/";
    ScoreMachine machine;
    machine.layout = layout::read_layout(text_of(folder + name + ".toml"), name).value();
    machine.chart =
        layout::read_chart(text_of(folder + "charts/" + name + "_bands.toml"), name, &machine.layout).value();
    machine.name = machine.layout.name;
    machines.push_back(std::move(machine));
  }
  return machines;
}

ScoreSummary score_of(const ScoreOptions& options, int cases) {
  const auto machines = shipped_machines();
  std::vector<int> indices(static_cast<std::size_t>(cases));
  for (int k = 0; k < cases; ++k) indices[static_cast<std::size_t>(k)] = k;
  std::vector<CaseRecord> records(indices.size());
  run_cases(machines, options, indices, 2, [&](CaseRecord record) {
    const auto at = static_cast<std::size_t>(record.index);
    records[at] = std::move(record);
  });
  return summarise(machines, records, options.seed);
}

ScoreOptions coarse(CaseKind kind, std::uint64_t seed) {
  ScoreOptions options;
  options.seed = seed;
  options.kinds = {kind};
  options.dpi = {300, 400};
  options.full_height = 0;
  options.ideal = false;
  return options;
}

const RankRow& all_of(const std::vector<RankRow>& rows) {
  return *std::find_if(rows.begin(), rows.end(), [](const RankRow& r) { return r.name == "all"; });
}

// Over many cases the first side must be right on 82 in 100 and one of the first two on 98 in 100; of 45
// cases by chance two standard deviations fewer are: 0.82 - 2 sqrt(0.82 * 0.18 / 45) = 0.705, 0.98 - 2
// sqrt(0.98 * 0.02 / 45) = 0.938.
TEST(Answers, NameTheRightSide) {
  const ScoreSummary summary = score_of(coarse(CaseKind::residue, 11), 45);
  EXPECT_EQ(summary.not_analysed, 0);
  EXPECT_GE(all_of(summary.sides).first.value, 0.705);
  EXPECT_GE(all_of(summary.sides).among_two.value, 0.938);
}

TEST(Answers, LeaveCleanPagesAlone) {
  const ScoreSummary summary = score_of(coarse(CaseKind::clean, 12), 30);
  EXPECT_EQ(summary.false_targets.cases, 30);
  EXPECT_LE(summary.false_targets.value * 30, 2.001);
}

}  // namespace
}  // namespace scrapetrace::score
