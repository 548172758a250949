// The columns of the jets and what a scan keeps of them, with answers worked out by hand.

#include "jets/combs.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "jets/ink_residual.h"
#include "jets/jet_match.h"
#include "jets/part_evidence.h"

namespace scrapetrace::jets {
namespace {

// Linear interpolation is off by step^2 / 8 max |f''| at most; for a cosine that is step^2 / 8.
TEST(EvenTable, IsOffByNoMoreThanTheBoundOfLinearInterpolation) {
  const double step = 0.05;
  const EvenTable table([](double x) { return std::cos(x); }, 3, step);
  double most = 0;
  for (double x = -2.9; x < 2.9; x += 0.0037) most = std::max(most, std::abs(table.at(x) - std::cos(x)));
  EXPECT_LT(most, step * step / 8 + 1e-12);
  EXPECT_GT(most, 0.9 * step * step / 8);
  EXPECT_EQ(table.at(1.234), table.at(-1.234));
  EXPECT_EQ(table.at(3.1), 0);
}

// A box blurred by a Gaussian is (erf((x + w/2) / (s sqrt 2)) - erf((x - w/2) / (s sqrt 2))) / 2 (the C
// library's erf), and keeps its area w. Two of them overlap by w^2 over all distances.
TEST(ColumnSpread, IsABlurredBoxThatKeepsItsArea) {
  const double width = 0.0635;
  const double blur = 0.07;
  const ColumnSpread spread(width, blur);
  const auto edge = [&](double x) { return std::erf(x / (blur * std::sqrt(2.0))); };
  for (const double x : {0.0, 0.02, -0.1, 0.2})
    EXPECT_NEAR(spread.weight(x), 0.5 * (edge(x + width / 2) - edge(x - width / 2)), 1e-5) << x;
  double area = 0;
  double overlaps = 0;
  const double step = 1e-3;
  for (double x = -2; x < 2; x += step) area += step * spread.weight(x), overlaps += step * spread.overlap(x);
  EXPECT_NEAR(area, width, 1e-4 * width);
  EXPECT_NEAR(overlaps, width * width, 1e-4 * width * width);
}

// Pitch 2, shifts 0 and 1: jet j of a head that begins at column 4 lays 4 + 2j and 5 + 2j. Column 4 lies
// before the first that every pass reaches, column 9 behind the last: of three jets 5, 6 and 7, 8 remain.
Layout one_head() {
  Layout layout;
  layout.drum = {1.6, 160};
  layout.raster = {254, 254};  // columns of 0.1 mm
  layout.interleave = {2, {0, 1}};
  layout.inks = {{"black", {1, 1, 1}}};
  layout.carriages = {{"only", 35, 0, 1}};
  layout.heads = {{"1", 0, 4, 3, false}};
  return layout;
}

TEST(Combs, AreTheColumnsOfEachJetByHand) {
  Layout layout = one_head();
  for (const double offset_mm : {0.0, 0.03}) {
    layout.carriages[0].offset_mm = offset_mm;
    const Combs combs = make_combs(geometry::Machine(layout), ColumnSpread(0.1, 0.05));
    const std::vector<std::vector<double>> expected{{0.55}, {0.65, 0.75}, {0.85}};
    ASSERT_EQ(combs.jets.size(), expected.size());
    for (std::size_t jet = 0; jet < expected.size(); ++jet) {
      ASSERT_EQ(combs.jets[jet].size(), expected[jet].size()) << jet;
      for (std::size_t k = 0; k < expected[jet].size(); ++k)
        EXPECT_NEAR(combs.jets[jet][k], expected[jet][k] + offset_mm, 1e-12) << jet;
    }
  }
}

// Jet 1 has two columns: twice a column with itself, twice two neighbours.
TEST(Combs, OverlapIsTheSumOverPairsOfColumns) {
  const Layout layout = one_head();
  const ColumnSpread spread(0.1, 0.05);
  const Combs combs = make_combs(geometry::Machine(layout), spread);
  EXPECT_NEAR(combs.overlap[0][0], spread.overlap(0), 1e-12);
  EXPECT_NEAR(combs.overlap[1][0], 2 * spread.overlap(0) + 2 * spread.overlap(0.1), 1e-12);
  EXPECT_NEAR(combs.overlap[0][1], spread.overlap(0.1) + spread.overlap(0.2), 1e-12);
  EXPECT_NEAR(combs.overlap[0][2], spread.overlap(0.3), 1e-12);
}

// 40 mm of samples 0.1 mm apart, of which the outermost 2 mm on each side are not the scan's.
InkResidual residual_of(const std::vector<double>& value) {
  InkResidual out;
  out.from = 20;
  out.to = static_cast<int>(value.size()) - 20;
  out.value = value;
  return out;
}

// Jets 0.8 mm apart under a slope of 1 % per mm, and a streak of 1 mm at 20 mm.
TEST(InkResidual, LeavesJetsAndTakesSlopesAndStreaksAway) {
  const auto jet = [](int i) { return i % 8 < 4 ? 0.01 : -0.01; };
  std::vector<double> value;
  for (int i = 0; i < 400; ++i) value.push_back(jet(i) + 0.001 * i + (i >= 195 && i < 205 ? 0.5 : 0));
  InkResidual residual = residual_of(value);
  leave_jets(0.1, residual);
  for (const int i : {60, 100, 150, 250, 300, 350}) {
    // The running mean over 41 samples holds a part of a jet more or less.
    EXPECT_NEAR(residual.value[static_cast<std::size_t>(i)], jet(i), 0.002) << i;
    EXPECT_FALSE(residual.streak[static_cast<std::size_t>(i)]) << i;
  }
  for (int i = 190; i < 210; ++i) {
    EXPECT_TRUE(residual.streak[static_cast<std::size_t>(i)]) << i;
    EXPECT_EQ(residual.value[static_cast<std::size_t>(i)], 0) << i;
  }
}

// One sample more than was expected: its mean over 41 samples is taken off all of them.
TEST(InkResidual, SquaresAreOfWhatWasNotExpected) {
  std::vector<double> value(400, 0.2);
  const std::vector<double> expected = value;
  std::vector<double> squares(400, 0.0);
  add_unexpected_squares(expected, 0.1, residual_of(value), squares);
  for (const double square : squares) EXPECT_NEAR(square, 0, 1e-24);
  value[200] += 0.41;
  add_unexpected_squares(expected, 0.1, residual_of(value), squares);
  EXPECT_NEAR(squares[200], 0.40 * 0.40, 1e-12);
  EXPECT_NEAR(squares[190], 0.01 * 0.01, 1e-12);
  EXPECT_NEAR(squares[170], 0, 1e-20);
}

TEST(Trial, MovesAndStretchesAboutTheMiddle) {
  EXPECT_NEAR((Trial{0.1, 0.002}.placed(60, 50)), 60.12, 1e-12);
  EXPECT_NEAR((Trial{0.1, 0.002}.placed(50, 50)), 50.1, 1e-12);
  EXPECT_NEAR((DrumMap{120, -1}.at(15)), 105, 1e-12);
}

TEST(LogOdds, SpeakForTheWayThatExplainsMore) {
  const PartEvidence part{0.2, 0.2, -0.2, 0.3, 0.02};
  EXPECT_GT(log_odds({part}), 1);
  EXPECT_NEAR(log_odds({part, part}), 2 * log_odds({part}), 1e-12);
  PartEvidence swapped = part;
  std::swap(swapped.if_one, swapped.if_other);
  EXPECT_NEAR(log_odds({swapped}), -log_odds({part}), 1e-12);
  EXPECT_EQ(log_odds({}), 0);
}

TEST(LogOdds, AreSilentWhereBothWaysExpectTheSame) {
  EXPECT_EQ(log_odds({PartEvidence{0.3, 0, 0, 0.1, 0.01}}), 0);
}

// A part that is sure says no more than 2: one scan is not to be carried by one place.
TEST(LogOdds, OfOnePartAreBounded) {
  EXPECT_EQ(log_odds({PartEvidence{0.9, 0.9, -0.9, 0, 0}}), 2);
  EXPECT_EQ(log_odds({PartEvidence{-0.9, 0.9, -0.9, 0, 0}}), -2);
}

TEST(LogOdds, AreLessSureWithNoiseAndWithWhatNeitherExplains) {
  const PartEvidence part{0.02, 0.02, -0.02, 0, 0};
  const double sure = log_odds({part});
  ASSERT_LT(sure, 2);
  PartEvidence noisy = part;
  noisy.noise = 0.1;
  PartEvidence missed = part;
  missed.missed = 0.9;
  EXPECT_LT(log_odds({noisy}), 0.7 * sure);
  EXPECT_LT(log_odds({missed}), 0.9 * sure);
  EXPECT_GT(log_odds({noisy}), 0);
}

}  // namespace
}  // namespace scrapetrace::jets
