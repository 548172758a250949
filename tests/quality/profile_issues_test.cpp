// Grain and moire, on views made by hand. Noise comes from std::mt19937_64, whose numbers the standard fixes.

#include "quality/profile_issues.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "quality/grain.h"

namespace scrapetrace::quality {
namespace {

constexpr double kPitch_mm = 25.4 / 600;
constexpr int kSamples = 6000;  // 254 mm

// A normal deviate by Box and Muller, since std::normal_distribution differs from library to library.
double normal(std::mt19937_64& random) {
  const auto unit = [&] { return (static_cast<double>(random() >> 11U) + 0.5) * 0x1p-53; };
  const double radius = std::sqrt(-2 * std::log(unit()));
  return radius * std::cos(2 * std::numbers::pi * unit());
}

struct Page {
  profile::Strips strips;
  std::vector<profile::InkView> views;
};

// `count` views of one strip each: noise of standard deviation `sigma`, and what `also` adds at x mm.
template <class Also>
Page page_of(int count, double sigma, std::uint64_t seed, const Also& also) {
  std::mt19937_64 random(seed);
  Page page;
  page.strips.grid = {0, kPitch_mm, kSamples};
  for (int v = 0; v < count; ++v) {
    profile::Strip strip;
    strip.to = kSamples;
    page.strips.strips.push_back(strip);
    profile::InkView view;
    view.strip = static_cast<std::size_t>(v);
    for (int i = 0; i < kSamples; ++i)
      view.loss.push_back(static_cast<float>(sigma * normal(random) + also(kPitch_mm * i)));
    page.views.push_back(std::move(view));
  }
  return page;
}

double nothing(double) {
  return 0;
}

// Five columns in one turn of the carriage, as on the bench machine; 400 columns per inch.
Layout even_layout() {
  Layout layout;
  layout.raster = {400, 400};
  layout.interleave = {5, {0, 3, 6, 9, 12}};
  return layout;
}

// The median of 25 windows of some 200 second differences has a standard error of about 2 %.
TEST(Grain, IsTheStandardDeviationOfWhiteNoise) {
  for (const double sigma : {0.001, 0.02}) {
    const Page page = page_of(3, sigma, 7, nothing);
    EXPECT_NEAR(grain(page.strips, page.views), sigma, 0.06 * sigma);
  }
}

// Second differences of a straight line are 0; those of single steps are few.
TEST(Grain, IgnoresSlopesAndSteps) {
  const Page slope = page_of(1, 0, 1, [](double x) { return 0.01 * x; });
  EXPECT_NEAR(grain(slope.strips, slope.views), 0, 1e-6);
  const Page steps = page_of(1, 0, 1, [](double x) { return 0.004 * std::floor(x / 5); });
  EXPECT_NEAR(grain(steps.strips, steps.views), 0, 1e-6);
}

TEST(Grain, ADrawingHasNone) {
  const Page drawn = page_of(2, 0, 1, nothing);
  const auto issue = no_grain(drawn.strips, drawn.views);
  ASSERT_TRUE(issue);
  EXPECT_EQ(issue->kind, ScanIssue::drawing);
  const Page printed = page_of(2, 0.001, 3, nothing);
  EXPECT_FALSE(no_grain(printed.strips, printed.views));
}

TEST(Grain, NothingIsSaidOfAPageWithoutViews) {
  const Page page = page_of(1, 0, 1, nothing);
  EXPECT_FALSE(no_grain(page.strips, {}));
}

class Fringes : public ::testing::TestWithParam<double> {};

// A fringe of 1 % under noise of 2 %; a line of the spectrum is period^2 / 254 mm wide.
TEST_P(Fringes, AreFoundWithTheirPeriod) {
  const double period_mm = GetParam();
  const Page page =
      page_of(4, 0.02, 11, [&](double x) { return 0.01 * std::sin(2 * std::numbers::pi * x / period_mm); });
  const auto found = moire_period_mm(page.strips, page.views, even_layout(), 1);
  ASSERT_TRUE(found);
  EXPECT_NEAR(*found, period_mm, std::max(0.01, period_mm * period_mm / 254));
  const auto issues = profile_issues(page.strips, page.views, even_layout(), 1);
  ASSERT_EQ(issues.size(), 1U);
  EXPECT_EQ(issues.front().kind, ScanIssue::moire);
}

INSTANTIATE_TEST_SUITE_P(Periods, Fringes, ::testing::Values(0.7, 1.9, 5.3), [](const auto& test) {
  return std::to_string(std::lround(10 * test.param)) + "TenthsOfAMillimetre";
});

TEST(Moire, NoneInNoise) {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const Page page = page_of(2, 0.02, seed, nothing);
    EXPECT_FALSE(moire_period_mm(page.strips, page.views, even_layout(), 1)) << seed;
  }
}

TEST(Moire, NoneInStreaks) {
  const Page page = page_of(
      4, 0.02, 5, [](double x) { return (std::abs(x - 60) < 0.5 || std::abs(x - 131) < 0.3) ? 0.5 : 0.0; });
  EXPECT_FALSE(moire_period_mm(page.strips, page.views, even_layout(), 1));
}

// Tints have their own fringes taken out before (profile/fringes.h).
TEST(Moire, TintsAreNotAsked) {
  Page page = page_of(4, 0.02, 11, [](double x) { return 0.01 * std::sin(2 * std::numbers::pi * x / 1.9); });
  for (auto& view : page.views) view.coverage = 0.5;
  EXPECT_FALSE(moire_period_mm(page.strips, page.views, even_layout(), 1));
}

TEST(Moire, DoesNotDependOnThreads) {
  const Page page =
      page_of(20, 0.02, 11, [](double x) { return 0.01 * std::sin(2 * std::numbers::pi * x / 1.9); });
  const auto one = moire_period_mm(page.strips, page.views, even_layout(), 1);
  ASSERT_TRUE(one);
  EXPECT_EQ(moire_period_mm(page.strips, page.views, even_layout(), 3), one);
}

}  // namespace
}  // namespace scrapetrace::quality
