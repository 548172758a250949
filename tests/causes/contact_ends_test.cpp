// Every way in which a contact can touch columns must have a place of its own.

#include "causes/contact_ends.h"

#include <gtest/gtest.h>

#include <random>
#include <set>
#include <utility>
#include <vector>

#include "causes/pages.h"
#include "geometry/contact.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_machine;

TEST(ContactEnds, AreOnePerStepWhereOneCarriageLaysAll) {
  const Layout layout = bench_machine();
  const geometry::Machine machine(layout);
  const ContactEnds ends(machine, {50, 52});
  ASSERT_EQ(ends.per_step(), 1);
  EXPECT_NEAR(ends.length_mm(7), layout.px_mm(), 1e-12);
  EXPECT_NEAR(ends.place_mm(8) - ends.place_mm(7), layout.px_mm(), 1e-12);
}

// Contacts drawn at random, held against those on the places: count_touches() is the geometry's own code.
TEST(ContactEnds, LeaveOutNoPatternOfTouches) {
  Layout layout = bench_machine();
  ASSERT_GE(layout.carriages.size(), 2U);
  layout.carriages[1].offset_mm = layout.carriages[0].offset_mm + 0.4 * layout.px_mm();
  const geometry::Machine machine(layout);
  ASSERT_FALSE(machine.columns.seams().empty());
  const double px = layout.px_mm();
  const double seam_mm = (machine.columns.seams().front().seam + 1) * px;
  const Interval region{seam_mm - 1, seam_mm + 1};
  const ContactEnds ends(machine, region);
  ASSERT_EQ(ends.per_step(), 2);
  EXPECT_NEAR(ends.length_mm(0) + ends.length_mm(1), px, 1e-12);

  using Pattern = std::vector<std::pair<int, int>>;  // columns touched, and how often
  const auto pattern = [&](double left_mm, double width_mm) {
    const auto touches =
        geometry::count_touches(machine.layout, machine.columns, {0, true, left_mm, width_mm});
    Pattern out;
    for (std::size_t i = 0; i < touches.n.size(); ++i) {
      if (touches.n[i] > 0)
        out.emplace_back(touches.first + static_cast<int>(i), static_cast<int>(touches.n[i]));
    }
    return out;
  };
  std::set<Pattern> reached;
  const int middle = static_cast<int>(seam_mm / px) * ends.per_step();
  for (int left = middle - 60; left < middle + 60; ++left) {
    for (int width = 1; width < 24; ++width)
      reached.insert(pattern(ends.place_mm(left), ends.place_mm(left + width) - ends.place_mm(left)));
  }
  std::mt19937 random(3);
  std::uniform_real_distribution<double> place(seam_mm - 20 * px, seam_mm + 10 * px);
  std::uniform_real_distribution<double> width(0.5 * px, 10 * px);
  for (int trial = 0; trial < 500; ++trial) {
    const double left_mm = place(random);
    const double width_mm = width(random);
    EXPECT_EQ(reached.count(pattern(left_mm, width_mm)), 1U) << left_mm << ' ' << width_mm;
  }
}

}  // namespace
}  // namespace scrapetrace::diagnose
