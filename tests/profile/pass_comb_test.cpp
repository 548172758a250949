// A pass that lands beside its place: its comb is found, and taken out without the streaks.

#include "profile/pass_comb.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <random>

namespace scrapetrace::profile {
namespace {

constexpr int kColumns = 10;       // of a jet's pitch
constexpr double kColumn = 0.75;   // samples: 400 columns to an inch, scanned at 300 dpi
constexpr int kHeadColumns = 900;  // 90 jets
constexpr int kLate = 4;           // the column of a jet that pass 4 lays
constexpr double kSolid = 1.1;     // density

struct Print {
  int late = 0;        // columns by which carriage 0's pass 4 is off
  double jets = 0.02;  // spread of their volumes
  double stretch = 0;  // of the sheet
  std::uint64_t seed = 1;
  std::function<double(int)> kept = [](int) { return 1.0; };  // of a column's ink
};

// Ink on the columns of two heads, of carriages 0 and 1.
std::vector<double> ink_of(const Print& print) {
  std::mt19937_64 draw(print.seed);
  std::normal_distribution<double> volume(1, print.jets);
  std::vector<double> jets(2 * kHeadColumns / kColumns);
  for (double& jet : jets) jet = volume(draw);
  std::vector<double> ink(2 * kHeadColumns, 0.0);
  for (int c = 0; c < 2 * kHeadColumns; ++c) {
    const bool off = c < kHeadColumns && c % kColumns == kLate;
    const int at = std::clamp(off ? c + print.late : c, 0, 2 * kHeadColumns - 1);
    ink[static_cast<std::size_t>(at)] += jets[static_cast<std::size_t>(c / kColumns)];
  }
  for (int c = 0; c < 2 * kHeadColumns; ++c) ink[static_cast<std::size_t>(c)] *= print.kept(c);
  return ink;
}

// Light over the paper's as a scan with a Gaussian blur of 0.7 samples shows it.
std::vector<float> scanned(const Print& print, double density) {
  const auto ink = ink_of(print);
  const double wide = kColumn * (1 + print.stretch);
  std::vector<float> out(static_cast<std::size_t>(2 * kHeadColumns * wide));
  const auto below = [](double away) { return 0.5 * std::erfc(-away / (std::sqrt(2.0) * 0.7)); };
  for (std::size_t i = 0; i < out.size(); ++i) {
    const double at = static_cast<double>(i);
    double light = 0;
    double weight = 0;
    const int near = static_cast<int>(at / wide);
    for (int c = std::max(0, near - 6); c <= std::min(2 * kHeadColumns - 1, near + 6); ++c) {
      const double part = below((c + 1) * wide - at) - below(c * wide - at);
      light += part * std::pow(10.0, -density * ink[static_cast<std::size_t>(c)]);
      weight += part;
    }
    out[i] = static_cast<float>(light / weight);
  }
  return out;
}

PassCombOptions options() {
  PassCombOptions out;
  out.column = kColumn;
  out.pitch = kColumn * kColumns;
  return out;
}

struct Evened {
  std::vector<float> before;
  std::vector<float> after;
  std::vector<bool> found;
};

Evened even_out(const Print& print) {
  Evened out;
  out.before = out.after = scanned(print, kSolid);
  const std::vector<float> level(out.after.size(), static_cast<float>(std::pow(10.0, -kSolid)));
  const std::vector<std::vector<TintProfile>> groups = {{{out.after, level, 0, out.after.size()}}};
  const double middle = kHeadColumns * kColumn;
  const std::vector<HeadSpan> heads = {{0, 0, middle}, {1, middle, 2 * middle}};
  out.found = take_out_pass_combs(groups, heads, 2, options());
  return out;
}

// Root of the mean square by which the ink's light differs between two samplings, relative, in [from, to).
double apart(const std::vector<float>& a, const std::vector<float>& b, std::size_t from, std::size_t to) {
  double sum = 0;
  for (std::size_t i = from; i < to; ++i) {
    const double ratio = (1 - static_cast<double>(a[i])) / (1 - static_cast<double>(b[i])) - 1;
    sum += ratio * ratio;
  }
  return std::sqrt(sum / static_cast<double>(to - from));
}

constexpr std::size_t kFrom = 12;  // a head's samples but for its ends
constexpr std::size_t kTo = 660;

TEST(PassCombs, AreTakenOutOfTheirCarriageAlone) {
  for (const int late : {-1, 1}) {
    const Evened seen = even_out({.late = late});
    const auto right = scanned({}, kSolid);
    EXPECT_EQ(seen.found, (std::vector<bool>{true, false}));
    EXPECT_GT(apart(seen.before, right, kFrom, kTo), 0.08);
    EXPECT_LT(apart(seen.after, right, kFrom, kTo), 0.015);  // jets vary: medians do, too
    EXPECT_TRUE(std::equal(seen.before.begin() + 700, seen.before.end(), seen.after.begin() + 700));
  }
}

// Two millimetres of a third of the ink less, and a hair's breadth without any.
TEST(PassCombs, LeaveStreaks) {
  for (const int columns : {1, 32}) {
    const auto kept = [&](int c) { return c < 400 || c >= 400 + columns ? 1.0 : columns == 1 ? 0.0 : 0.67; };
    const Evened seen = even_out({.late = 1, .kept = kept});
    const auto right = scanned({.kept = kept}, kSolid);
    EXPECT_TRUE(seen.found[0]);
    EXPECT_LT(apart(seen.after, right, kFrom, kTo), 0.012) << columns;
    EXPECT_LT(apart(seen.after, right, 297, 327), 0.03) << columns;
  }
}

TEST(PassCombs, AreNoneOfJetsThatVaryOrAreDead) {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const auto kept = [](int c) { return c / kColumns == 30 || c / kColumns == 31 ? 0.0 : 1.0; };
    const Evened seen = even_out({.jets = 0.05, .seed = seed, .kept = kept});
    EXPECT_EQ(seen.found, (std::vector<bool>{false, false})) << seed;
    EXPECT_EQ(seen.before, seen.after) << seed;
  }
}

TEST(PassCombs, KeepToTheSheetsOwnScale) {
  const Evened seen = even_out({.late = 1, .stretch = 0.002});
  EXPECT_TRUE(seen.found[0]);
  EXPECT_LT(apart(seen.after, scanned({.stretch = 0.002}, kSolid), kFrom, kTo), 0.01);
}

// A mark too narrow to show a comb by itself has the one that the other patches show.
TEST(PassCombs, AreTakenOutOfNarrowPatchesToo) {
  auto wide = scanned({.late = 1}, kSolid);
  auto mark = scanned({.late = 1}, 0.8);
  const auto untouched = mark;
  const auto right = scanned({}, 0.8);
  const std::vector<float> level(wide.size(), static_cast<float>(std::pow(10.0, -kSolid)));
  const std::vector<float> mark_level(wide.size(), static_cast<float>(std::pow(10.0, -0.8)));
  const std::vector<std::vector<TintProfile>> groups = {{{wide, level, 0, wide.size()}},
                                                        {{mark, mark_level, 100, 180}}};
  const double middle = kHeadColumns * kColumn;
  const std::vector<HeadSpan> heads = {{0, 0, middle}, {1, middle, 2 * middle}};
  EXPECT_TRUE(take_out_pass_combs(groups, heads, 2, options())[0]);
  EXPECT_GT(apart(untouched, right, 100, 180), 0.08);
  EXPECT_LT(apart(mark, right, 100, 180), 0.02);
}

}  // namespace
}  // namespace scrapetrace::profile
