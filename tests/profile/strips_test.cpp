// Strips: averaged along the print, in drum coordinates, whatever way the sheet lies.

#include "profile/strips.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <ostream>

#include "support/raster_of.h"

namespace scrapetrace::profile {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::quiet_print;
using testing::quiet_scan;
using testing::raster_of;
using testing::true_placement;

Strips strips_of(const Layout& layout, const Causes& causes, const PrintOptions& print,
                 const ScanOptions& scan, const std::vector<MaskedColumns>& masked = {}) {
  const auto raster = raster_of(layout, bench_chart(), causes, print, scan);
  return extract_strips(raster, true_placement(bench_chart(), print, scan), layout, masked, {});
}

const Strip& first_of_patch(const Strips& strips, int patch) {
  for (const Strip& s : strips.strips) {
    if (s.patch == patch) return s;
  }
  throw std::out_of_range("no strip of that patch");
}

int bridged_samples(const Strip& strip) {
  int count = 0;
  for (int i = strip.from; i < strip.to && !strip.bridged.empty(); ++i) {
    count += strip.bridged[static_cast<std::size_t>(i)] ? 1 : 0;
  }
  return count;
}

// Value at a drum X, by a straight line between samples.
std::optional<double> at(const Strips& strips, const Strip& strip, int channel, double x_drum_mm) {
  const double i = strips.grid.index(x_drum_mm);
  const auto k = static_cast<int>(std::floor(i));
  if (k < strip.from || k + 1 >= strip.to) return std::nullopt;
  const auto& values = strip.linear[static_cast<std::size_t>(channel)];
  const double t = i - k;
  return (1 - t) * static_cast<double>(values[static_cast<std::size_t>(k)]) +
         t * static_cast<double>(values[static_cast<std::size_t>(k) + 1]);
}

TEST(Strips, CoverPatchesAndThePaperBetweenThem) {
  const auto strips = strips_of(bench_machine(), {}, quiet_print(), quiet_scan());
  std::vector<int> patches;
  std::vector<double> bare;
  double before = -1;
  for (const Strip& s : strips.strips) {
    EXPECT_GE(s.y_mm.from_mm, before);
    before = s.y_mm.from_mm;
    if (s.patch >= 0) {
      const Patch patch = bench_chart().patches[static_cast<std::size_t>(s.patch)];
      EXPECT_GT(s.y_mm.from_mm, patch.y_mm[0]);
      EXPECT_LT(s.y_mm.to_mm, patch.y_mm[1]);
      patches.push_back(s.patch);
    } else {
      bare.push_back(0.5 * (s.y_mm.from_mm + s.y_mm.to_mm));
    }
  }
  EXPECT_EQ(patches, (std::vector<int>{0, 0, 1, 1, 2, 2, 3, 3, 4, 4}));
  ASSERT_EQ(bare.size(), 6U);
  for (const auto& [i, middle] :
       {std::pair{0, 5.0}, {1, 32.0}, {2, 56.0}, {3, 76.0}, {4, 103.0}, {5, 117.0}}) {
    EXPECT_NEAR(bare[static_cast<std::size_t>(i)], middle, 1e-9);
  }
}

// Codes of 16 bits and rounding in the raster leave 2e-5 of full scale.
constexpr double kLevel = 1e-4;

TEST(Strips, ShowPaperAndSolidsAsPrinted) {
  // Sums of the bench machine's densities, patch by patch.
  const std::array<Rgb, 5> densities = {
      {{1.10, 0.32, 0.12}, {0.16, 1.15, 0.42}, {0.03, 0.09, 0.95}, {1.26, 1.47, 0.54}, {1.26, 1.47, 0.54}}};
  const auto strips = strips_of(bench_machine(), {}, quiet_print(), quiet_scan());
  for (const Strip& s : strips.strips) {
    const Rgb density = s.patch < 0 ? Rgb{} : densities[static_cast<std::size_t>(s.patch)];
    EXPECT_GT(s.to - s.from, s.patch == 4 ? 100 : 950);
    for (std::size_t c = 0; c < 3; ++c) {
      for (int i = s.from; i < s.to; ++i) {
        // Within bare strips the bands' ends stand more than three point spreads away; so do their sides.
        ASSERT_NEAR(s.linear[c][static_cast<std::size_t>(i)], 0.85 * std::pow(10, -density[c]), kLevel)
            << s.patch << " " << i << " " << s.from << " " << s.to;
      }
    }
  }
}

// Eight in a hundred from jet to jet: structure as fine as the scan can show.
PrintOptions rough_print() {
  PrintOptions print = quiet_print();
  print.jet_variation = 0.08;
  return print;
}

double rms_difference(const Strips& a, const Strips& b) {
  const Strip& sa = first_of_patch(a, 0);
  const Strip& sb = first_of_patch(b, 0);
  double squares = 0;
  int count = 0;
  for (double x = 20; x < 100; x += 0.05) {
    const auto va = at(a, sa, 0, x);
    const auto vb = at(b, sb, 0, x);
    if (!va || !vb) continue;
    squares += (*va - *vb) * (*va - *vb);
    ++count;
  }
  EXPECT_GT(count, 1500);
  return std::sqrt(squares / count);
}

double contrast(const Strips& strips) {
  const Strip& s = first_of_patch(strips, 0);
  double sum = 0;
  double squares = 0;
  for (int i = s.from; i < s.to; ++i) {
    const double v = static_cast<double>(s.linear[0][static_cast<std::size_t>(i)]);
    sum += v;
    squares += v * v;
  }
  const double n = s.to - s.from;
  return std::sqrt(squares / n - sum * sum / (n * n));
}

// One band of 99 mm in one strip: turned by one degree it drifts by 20 pixels.
Chart tall_chart() {
  Chart chart = bench_chart();
  chart.patches = {{{"cyan"}, {8, 92}, {10, 110}, 1}};
  return chart;
}

Strips tall_strips(const Causes& causes, const ScanOptions& scan, const page::Placement& place,
                   const std::vector<MaskedColumns>& masked = {}) {
  StripOptions one_strip;
  one_strip.length_mm = 100;
  const auto raster = raster_of(bench_machine(), tall_chart(), causes, rough_print(), scan);
  return extract_strips(raster, place, bench_machine(), masked, one_strip);
}

ScanOptions skewed_scan() {
  ScanOptions scan = quiet_scan();
  scan.skew_deg = 1;
  return scan;
}

// Followed, its profile is the straight page's but for interpolation; averaged straight down, its fine
// structure is gone and most of it shows as a difference.
constexpr double kFollowed = 0.1;  // of the profile's own contrast
constexpr double kSmeared = 0.5;

TEST(Strips, FollowTheSkew) {
  const auto straight =
      tall_strips({}, quiet_scan(), true_placement(tall_chart(), rough_print(), quiet_scan()));
  const double structure = contrast(straight);
  ASSERT_GT(structure, 20 * kLevel);
  auto place = true_placement(tall_chart(), rough_print(), skewed_scan());
  EXPECT_LT(rms_difference(straight, tall_strips({}, skewed_scan(), place)), kFollowed * structure);
  // The same raster, taken for straight about the sheet's middle.
  place.map.u0 += place.map.uy * 60;
  place.map.uy = 0;
  EXPECT_GT(rms_difference(straight, tall_strips({}, skewed_scan(), place)), kSmeared * structure);
}

// A line on a skewed page crosses each column of ink in a few rows only: the others tell what is there.
TEST(Strips, SeePastMaskedColumnsOnASkewedPage) {
  const auto place = true_placement(tall_chart(), rough_print(), skewed_scan());
  const int width = press::scan_geometry(tall_chart(), rough_print(), skewed_scan()).raw_width_px;
  Causes dusty;
  dusty.lines = {{600.5 / width, 3, 0.5}};
  const auto clean = tall_strips({}, skewed_scan(), place);
  const auto masked = tall_strips(dusty, skewed_scan(), place, {{597, 604}});
  const auto marked = tall_strips(dusty, skewed_scan(), place);
  EXPECT_LT(rms_difference(clean, masked), 0.05 * contrast(clean));
  EXPECT_GT(rms_difference(clean, marked), 0.1 * contrast(clean));
  std::vector<int> bridges;  // per sample: how many strips of the patch cannot see past the line there
  int strips = 0;
  for (const Strip& s : masked.strips) {
    if (s.patch != 0) {
      EXPECT_GT(bridged_samples(s), 0);  // the white strips are too short for that
      continue;
    }
    ++strips;
    bridges.resize(static_cast<std::size_t>(masked.grid.size), 0);
    for (std::size_t i = 0; i < s.bridged.size(); ++i) bridges[i] += s.bridged[i] ? 1 : 0;
  }
  ASSERT_GT(strips, 1);
  EXPECT_LT(*std::max_element(bridges.begin(), bridges.end()), strips);
}

// Centre of gravity of what a scratch changes.
double seen_scratch_mm(const Grid& grid, const Strip& strip, const Strip& clean) {
  double sum = 0;
  double moment = 0;
  for (int i = std::max(strip.from, clean.from); i < std::min(strip.to, clean.to); ++i) {
    const auto k = static_cast<std::size_t>(i);
    const double d = static_cast<double>(strip.linear[1][k]) - static_cast<double>(clean.linear[1][k]);
    if (std::abs(d) < kLevel) continue;
    sum += d;
    moment += d * grid.at(i);
  }
  EXPECT_NE(sum, 0);
  return moment / sum;
}

struct Frame {
  bool mirrored;
  double scale, skew_deg;
  int turn_deg;
};
void PrintTo(const Frame& frame, std::ostream* out) {
  *out << "scale " << frame.scale << " skew " << frame.skew_deg << " turned by " << frame.turn_deg
       << (frame.mirrored ? " mirrored" : "");
}

class DrumX : public ::testing::TestWithParam<Frame> {};

constexpr double kPlace_px = 0.1;

TEST_P(DrumX, OfAScratchIsWhereItIs) {
  Layout layout = bench_machine(GetParam().mirrored);
  layout.transfer.scale_cross = GetParam().scale;
  ScanOptions scan = quiet_scan();
  scan.skew_deg = GetParam().skew_deg;
  scan.turn_deg = GetParam().turn_deg;
  // Columns 700 to 709 and 1400 to 1402: their edges are the scratches' own.
  Causes wide;
  wide.scratches = {{700 * 0.0635 - 1e-6, 10 * 0.0635, 0.6, {}}};
  Causes narrow;
  narrow.scratches = {{1400 * 0.0635 - 1e-6, 3 * 0.0635, 0.9, {}}};
  const auto clean = strips_of(layout, {}, quiet_print(), scan);
  for (const auto& [cause, middle_mm] : {std::pair{wide, 705 * 0.0635}, {narrow, 1401.5 * 0.0635}}) {
    const auto strips = strips_of(layout, cause, quiet_print(), scan);
    ASSERT_EQ(strips.strips.size(), clean.strips.size());
    int seen = 0;
    for (std::size_t s = 0; s < strips.strips.size(); ++s) {
      if (strips.strips[s].patch != 1 && strips.strips[s].patch != 3) continue;
      EXPECT_NEAR(seen_scratch_mm(strips.grid, strips.strips[s], clean.strips[s]), middle_mm,
                  kPlace_px * strips.grid.pitch_mm);
      ++seen;
    }
    EXPECT_EQ(seen, 4);
  }
}

INSTANTIATE_TEST_SUITE_P(Profile, DrumX,
                         ::testing::Values(Frame{false, 1, 0, 0}, Frame{true, 1, 0, 0},
                                           Frame{false, 1.004, 0.7, 0}, Frame{true, 0.997, -1, 0},
                                           Frame{true, 1, 0.5, 90}, Frame{false, 1, -0.5, 180},
                                           Frame{true, 1, 0.3, 270}));

TEST(Strips, BridgeMaskedColumns) {
  ScanOptions scan = quiet_scan();
  const int width = press::scan_geometry(bench_chart(), quiet_print(), scan).raw_width_px;
  const int column = 500;
  Causes dusty;
  dusty.lines = {{(column + 0.5) / width, 3, 0.7}};
  const std::vector<MaskedColumns> masked = {{column - 3, column + 4}};
  const auto clean = strips_of(bench_machine(), {}, quiet_print(), scan);
  const auto marked = strips_of(bench_machine(), dusty, quiet_print(), scan);
  const auto bridged = strips_of(bench_machine(), dusty, quiet_print(), scan, masked);
  for (std::size_t s = 0; s < clean.strips.size(); ++s) {
    double left = 0;
    for (int i = clean.strips[s].from; i < clean.strips[s].to; ++i) {
      const auto k = static_cast<std::size_t>(i);
      const double want = static_cast<double>(clean.strips[s].linear[1][k]);
      EXPECT_NEAR(bridged.strips[s].linear[1][k], want, kLevel);
      left = std::max(left, std::abs(static_cast<double>(marked.strips[s].linear[1][k]) / want - 1));
    }
    if (clean.strips[s].patch == 4) continue;  // the corner mark ends left of the line
    EXPECT_EQ(bridged_samples(clean.strips[s]), 0);
    // Seven columns and the cubic's reach.
    EXPECT_NEAR(bridged_samples(bridged.strips[s]), 10, 2);
    EXPECT_NEAR(left, 0.3, 0.05) << s;  // sharp as it is, the cubic overshoots it a little
  }
}

TEST(Strips, CountTheRowsTheyRestOn) {
  const auto strips = strips_of(bench_machine(), {}, quiet_print(), quiet_scan());
  for (const Strip& s : strips.strips) {
    const double rows = (s.y_mm.to_mm - s.y_mm.from_mm) * 300 / 25.4;
    EXPECT_LE(s.rows, rows);
    EXPECT_GE(s.rows, rows - 16);  // whole blocks of eight rows
    EXPECT_GE(s.rows, 8);
  }
}

// What the scan does not show has no samples, and is not made up.
TEST(Strips, EndWhereTheImageEnds) {
  ScanOptions scan = quiet_scan();
  scan.margin_mm = -20;
  const auto strips = strips_of(bench_machine(), {}, quiet_print(), scan);
  ASSERT_FALSE(strips.strips.empty());
  for (const Strip& s : strips.strips) {
    EXPECT_NEAR(strips.grid.at(s.from), 30, 0.3);
    EXPECT_NEAR(strips.grid.at(s.to - 1), 90, 0.3);
    EXPECT_GT(s.y_mm.to_mm, 20);
    EXPECT_LT(s.y_mm.from_mm, 100);
  }
}

// Where a skewed band leaves the image at its side, half of its rows still show.
TEST(Strips, EndWhereTheImageCutsHalfOfTheirRows) {
  constexpr double kCut_mm = 20;
  constexpr double kTaps_mm = 2 * 25.4 / 300;  // between a sample and what it is interpolated from, at most
  ScanOptions scan = skewed_scan();
  scan.margin_mm = -kCut_mm;
  const auto place = true_placement(tall_chart(), rough_print(), scan);
  const auto strips = tall_strips({}, scan, place);
  ASSERT_EQ(strips.strips.size(), 2U);
  for (const Strip& s : strips.strips) {
    const double from_mm = std::max(s.y_mm.from_mm, kCut_mm);
    const double to_mm = std::min(s.y_mm.to_mm, tall_chart().sheet_mm[1] - kCut_mm);
    const double slant_mm = (to_mm - from_mm) * std::tan(1 * std::numbers::pi / 180);
    ASSERT_GT(slant_mm, 0.5);
    const double off_mm = -place.map.u(kCut_mm, 0.5 * (from_mm + to_mm)) / place.map.ux;
    EXPECT_NEAR(strips.grid.at(s.from), 30 + off_mm + kTaps_mm, 0.2 * slant_mm);
    EXPECT_NEAR(strips.grid.at(s.to - 1), 90 + off_mm - kTaps_mm, 0.2 * slant_mm);
  }
}

}  // namespace
}  // namespace scrapetrace::profile
