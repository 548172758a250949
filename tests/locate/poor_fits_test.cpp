// Contacts that are no boxes. What the technician would suffer: 'unknown' for a streak that anybody would
// place, or another head with certainty.

#include <gtest/gtest.h>

#include "locate/pages.h"

namespace scrapetrace {
namespace {

using testing::find;
using testing::noisy_scan;
using testing::residue_at;
using testing::two_way_machine;

// A contact in steps, each with a part of the loss: a slope, two bumps, a dome.
Causes in_steps(const Layout& layout, std::size_t head, Side side, const std::vector<double>& losses) {
  constexpr double kStep_mm = 0.3;
  Causes causes;
  for (std::size_t k = 0; k < losses.size(); ++k) {
    if (losses[k] <= 0) continue;
    causes.residues.push_back(
        residue_at(layout, head, side, 1.0 + kStep_mm * static_cast<double>(k), kStep_mm, losses[k]));
  }
  return causes;
}

struct Shape {
  const char* name;
  std::vector<double> losses;
};

class Shapes : public ::testing::TestWithParam<Shape> {};

TEST_P(Shapes, NameTheSideThatTouched) {
  const Layout layout = two_way_machine();
  for (const std::size_t head : {0U, 1U}) {
    const Side side = head == 0 ? Side::right : Side::left;  // the others lie beside the sheet
    const Findings found =
        find(layout, in_steps(layout, head, side, GetParam().losses), noisy_scan(11 + head));
    ASSERT_FALSE(found.targets.empty()) << testing::streaks_of(found);
    EXPECT_EQ(found.targets[0].head, layout.heads[head].name) << testing::streaks_of(found);
    EXPECT_EQ(found.targets[0].side, side);
    EXPECT_GT(testing::probability_of(found, layout.heads[head].name, side), 0.5)
        << testing::streaks_of(found);
  }
}

INSTANTIATE_TEST_SUITE_P(Contacts, Shapes,
                         ::testing::Values(Shape{"Slope", {0.05, 0.15, 0.3, 0.45, 0.6, 0.75}},
                                           Shape{"Dome", {0.1, 0.4, 0.7, 0.7, 0.4, 0.1}},
                                           Shape{"TwoBumps", {0.7, 0.7, 0, 0, 0.4, 0.4}},
                                           Shape{"Ragged", {0.7, 0.1, 0.5, 0.05, 0.6, 0.3}}),
                         [](const auto& shape) { return std::string(shape.param.name); });

}  // namespace
}  // namespace scrapetrace
