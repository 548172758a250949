// Ink counts where somebody could miss it.

#include "causes/ink_moved.h"

#include <gtest/gtest.h>

#include "likelihood/toy_scene.h"

namespace scrapetrace::diagnose {
namespace {

// All of both inks gone from the cells [from, to).
InkState emptied(const Layout& layout, const Scene& scene, std::size_t from, std::size_t to) {
  InkState out = untouched(layout, scene);
  for (auto& kept : out.kept) {
    for (std::size_t c = from; c < to; ++c) kept[c] = 0;
  }
  return out;
}

TEST(InkMoved, IsTheLengthTimesTheLossOfEveryInk) {
  const auto toy = testing::toy_scene();
  const InkState clean = untouched(toy.layout, toy.scene);
  EXPECT_DOUBLE_EQ(ink_moved(toy.scene, clean, clean), 0);
  EXPECT_NEAR(ink_moved(toy.scene, clean, emptied(toy.layout, toy.scene, 15, 18)), 2 * 3 * testing::kToyPx_mm,
              1e-9);
}

TEST(InkMoved, DoesNotCountBeyondTheSamples) {
  const auto toy = testing::toy_scene();
  const InkState clean = untouched(toy.layout, toy.scene);
  ASSERT_GT(toy.scene.traces.front().x_mm.front(), toy.scene.cells[3].to_mm);
  EXPECT_DOUBLE_EQ(ink_moved(toy.scene, clean, emptied(toy.layout, toy.scene, 0, 3)), 0);
}

TEST(InkMoved, DoesNotCountInGapsOfThePrint) {
  auto toy = testing::toy_scene();
  for (auto& trace : toy.scene.traces) {
    for (std::size_t c = 15; c < 18; ++c) trace.density[c] = 0;
  }
  const InkState clean = untouched(toy.layout, toy.scene);
  EXPECT_DOUBLE_EQ(ink_moved(toy.scene, clean, emptied(toy.layout, toy.scene, 15, 18)), 0);
  EXPECT_GT(ink_moved(toy.scene, clean, emptied(toy.layout, toy.scene, 15, 19)), 0);
}

}  // namespace
}  // namespace scrapetrace::diagnose
