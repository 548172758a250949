// Faint scrapes, sought on the carriages.

#include "diagnose/search_carriages.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "diagnose/column_evidence.h"
#include "diagnose/pages.h"
#include "diagnose/weigh_boxes.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::prepared_scan;

std::vector<double> random_values(int size, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  std::vector<double> out;
  for (int i = 0; i < size; ++i) out.push_back(normal(random));
  return out;
}

double touched_sum(const Layout& layout, const geometry::ColumnMap& columns, geometry::Contact contact,
                   const std::vector<double>& values) {
  double sum = 0;
  for (const bool downstream : {false, true}) {
    contact.downstream = downstream;
    const auto touches = geometry::count_touches(layout, columns, contact);
    for (std::size_t i = 0; i < touches.n.size(); ++i)
      sum += 0.5 * touches.n[i] * values[static_cast<std::size_t>(touches.first) + i];
  }
  return sum;
}

// The touch counts come from the geometry's own, separate code: the one must be the transpose of the other.
TEST(CarriedBack, SumsToTheMatchedFilterOfAnyContact) {
  const Layout layout = bench_machine();
  const geometry::ColumnMap columns(layout);
  const auto values = random_values(columns.columns(), 5);
  const double px = layout.px_mm();
  std::mt19937 random(9);
  for (std::size_t q = 0; q < layout.carriages.size(); ++q) {
    const auto carried = carried_back(layout, columns, q, values);
    for (int trial = 0; trial < 50; ++trial) {
      const int width = 1 + static_cast<int>(random() % 40);
      const int left = 300 + static_cast<int>(random() % 1000);
      double sum = 0;
      for (int i = left; i < left + width; ++i) sum += carried[static_cast<std::size_t>(i)];
      const geometry::Contact contact{q, false, left * px + layout.carriages[q].offset_mm, width * px};
      EXPECT_NEAR(sum, touched_sum(layout, columns, contact, values), 1e-9)
          << q << ' ' << left << ' ' << width;
    }
  }
}

TEST(ProposeBoxes, FindsWhatAScrapeWouldLeaveInNoise) {
  const Layout layout = bench_machine();
  const geometry::ColumnMap columns(layout);
  const double px = layout.px_mm();
  const geometry::Contact contact{0, true, 700 * px, 12 * px};
  const auto touches = geometry::count_touches(layout, columns, contact);
  for (unsigned seed = 1; seed <= 5; ++seed) {
    auto values = random_values(columns.columns(), seed);
    for (std::size_t i = 0; i < touches.n.size(); ++i)
      values[static_cast<std::size_t>(touches.first) + i] += touches.n[i];
    const auto found = propose_boxes(layout, columns, values, {}, 1).boxes;
    EXPECT_TRUE(std::any_of(found.begin(), found.end(), [](const CarriageBox& box) {
      return std::abs(box.middle_px - 706) < 6 && box.width_px >= 3;
    })) << seed;
  }
}

double strongest_of(const Layout& layout, const PreparedScan& scan) {
  const geometry::ColumnMap columns(layout);
  const std::vector<PreparedScan> scans{scan};
  const auto evidence =
      column_evidence(layout, columns, scans, {measure_ink_noise(layout, columns, scan)}, {});
  double most = 0;
  for (const auto& region : search_carriages(layout, columns, evidence, {})) most = std::max(most, region.z);
  return most;
}

TEST(ColumnEvidence, ForgivesTheJetsWhatItHoldsAgainstAScrape) {
  const Layout layout = bench_machine();
  const Causes causes = testing::one_scrape(47, 0.8, 0.006);  // a fifth of the jets' variation
  for (std::uint64_t seed = 1; seed <= 3; ++seed) {
    const double clean = strongest_of(layout, testing::noisy_page(layout, {}, seed));
    const double scraped = strongest_of(layout, testing::noisy_page(layout, causes, seed));
    EXPECT_EQ(clean, 0) << seed;
    EXPECT_GT(scraped, 10) << seed;
  }
}

// What the fit claims to be of unit variance is, where jets are uneven and little else is: light's bent
// response to them and a registration a few micrometres off spread it 1.7 to 4 times as far when they are
// left in.
TEST(BoxWeigher, ClaimsWhatItKnows) {
  const Layout layout = bench_machine();
  const geometry::ColumnMap columns(layout);
  PrintOptions print;
  print.jet_variation = 0.03;
  print.grain = 0.01;
  print.mottle = 0.002;
  ScanOptions options;
  options.dpi = 600;
  options.noise = 1;
  PreparedScan scan = prepared_scan(layout, bench_chart(), {}, print, options);
  scan.strips.grid.first_mm += 0.004;
  const auto evidence =
      column_evidence(layout, columns, {scan}, {measure_ink_noise(layout, columns, scan)}, {});
  ASSERT_NE(evidence.fit, nullptr);
  BoxWeigher weigher(layout, columns, evidence, 100);
  double sum = 0;
  for (const double width_px : {1.0, 3.0, 10.0}) {
    EXPECT_GE(weigher.spread(width_px), 0.6) << width_px;
    sum += weigher.spread(width_px);
  }
  EXPECT_LT(sum / 3, 1.25);
}

// The band system's short cut gives what the whole matrix gives.
TEST(BoxWeigher, WeighsAsTheWholeInformationDoes) {
  const Layout layout = bench_machine();
  const geometry::ColumnMap columns(layout);
  const PreparedScan scan = prepared_scan(layout, bench_chart(), {}, PrintOptions(), ScanOptions());
  const auto evidence =
      column_evidence(layout, columns, {scan}, {measure_ink_noise(layout, columns, scan)}, {});
  ASSERT_NE(evidence.fit, nullptr);
  const BoxWeigher weigher(layout, columns, evidence, 100);
  for (const double width_px : {1.0, 6.0}) {
    const auto touched = CarriageContacts(layout, columns, 0).touched(700, 700 + static_cast<int>(width_px));
    const auto n = touched.part.size();
    const auto all = evidence.information(touched.first, touched.first + static_cast<int>(n) - 1);
    double pull = 0;
    double information = 0;
    for (std::size_t a = 0; a < n; ++a) {
      pull += touched.part[a] * evidence.value[static_cast<std::size_t>(touched.first) + a];
      for (std::size_t b = 0; b < n; ++b) information += touched.part[a] * all[a * n + b] * touched.part[b];
    }
    EXPECT_NEAR(weigher.claimed_z({0, 700 + 0.5 * width_px, width_px}), pull / std::sqrt(information),
                1e-3 * std::abs(pull) / std::sqrt(information));
  }
}

// The filter that proposes may see a part of a contact best, or a contact in much else.
TEST(BoxWeigher, ClimbsToTheContactFromAPartOfItAndFromMuchElse) {
  const Layout layout = bench_machine();
  const geometry::ColumnMap columns(layout);
  ScanOptions options;
  options.dpi = 400;
  const double width_mm = 1.6;
  const PreparedScan scan =
      prepared_scan(layout, bench_chart(), testing::one_scrape(47, width_mm, 0.004), PrintOptions(), options);
  const auto evidence =
      column_evidence(layout, columns, {scan}, {measure_ink_noise(layout, columns, scan)}, {});
  ASSERT_NE(evidence.fit, nullptr);
  const BoxWeigher weigher(layout, columns, evidence, 200);
  const double left_px = std::round((47 - layout.carriages[0].offset_mm) / layout.px_mm());
  const double width_px = std::round(width_mm / layout.px_mm());
  const double there = weigher.claimed_z({0, left_px + 0.5 * width_px, width_px});
  ASSERT_GT(there, 6);
  for (const CarriageBox& from : {CarriageBox{0, left_px + 2, 4}, CarriageBox{0, left_px + width_px - 1.5, 3},
                                  CarriageBox{0, left_px + 60, 120}, CarriageBox{0, left_px - 20, 90}}) {
    const CarriageBox best = weigher.climbed(from);
    EXPECT_GE(best.z, 0.999 * there) << from.middle_px << ' ' << from.width_px;
    EXPECT_NEAR(best.middle_px - 0.5 * best.width_px, left_px, 4);
    EXPECT_NEAR(best.width_px, width_px, 6);
  }
}

TEST(ColumnEvidence, IsSilentWhereItMayNotLook) {
  const Layout layout = bench_machine();
  const geometry::ColumnMap columns(layout);
  const PreparedScan scan = prepared_scan(layout, bench_chart(), {}, PrintOptions(), ScanOptions());
  const auto evidence =
      column_evidence(layout, columns, {scan}, {measure_ink_noise(layout, columns, scan)}, {{40, 50}});
  const auto at = [&](double x_mm) {
    return evidence.value[static_cast<std::size_t>(x_mm / layout.px_mm())];
  };
  for (double x = 40.5; x < 49.5; x += 0.3) EXPECT_EQ(at(x), 0) << x;
  EXPECT_NE(at(55), 0);
  // Nor beside the bands' ends, at 18 and 102 mm of the drum, which blur into the paper.
  for (const double end : {18.6, 101.4}) EXPECT_EQ(at(end), 0) << end;
  for (const double within : {21.0, 99.0}) EXPECT_NE(at(within), 0) << within;
}

}  // namespace
}  // namespace scrapetrace::diagnose
