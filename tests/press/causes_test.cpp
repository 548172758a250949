// Each cause in a page without blur or noise, one scan pixel per column, against what the model says of it.

#include <gtest/gtest.h>

#include <set>

#include "geometry/contact.h"
#include "pages.h"

namespace scrapetrace {
namespace {

using testing::all_over;
using testing::even_print;
using testing::kCoding_density;
using testing::kHeight_px;
using testing::kWidth_px;
using testing::Page;
using testing::sharp_scan;
using testing::sheet_with;
using testing::small_machine;

constexpr double kSolidCyan = 1.1;     // small_machine's cyan in red
constexpr double kSolidMagenta = 1.2;  // its magenta in green

Page page_with(const Layout& layout, const Causes& causes, const std::vector<std::string>& inks) {
  return {layout, sheet_with({all_over(inks)}), causes, even_print(), sharp_scan()};
}

// Columns before the sheet's left edge when it is not mirrored.
constexpr int kFirstColumn = 50;

TEST(Residue, LeavesInkToThePowerOfItsTouches) {
  for (const bool mirrored : {false, true}) {
    for (const bool downstream : {false, true}) {
      for (const std::size_t carriage : {0U, 1U}) {
        Layout layout = small_machine();
        layout.transfer.mirrored = mirrored;
        if (mirrored) layout.transfer.sheet_left_on_drum_mm = 45;
        const double x = 27.13;
        const Page page = page_with(
            layout, {{{carriage, downstream, x, 1.2, 0.4, {}, "", {}, ""}}, {}, {}, {}, {}}, {"cyan"});
        const geometry::ColumnMap map(layout);
        const auto touches = geometry::count_touches(layout, map, {carriage, downstream, x, 1.2});
        std::set<int> counts;
        for (int column = 51; column < 449; ++column) {
          const int u = mirrored ? 449 - column : column - kFirstColumn;
          const double kept = std::pow(0.6, touches.at(column));
          counts.insert(touches.at(column));
          ASSERT_NEAR(page.density(u, 60, 0), kSolidCyan * kept, kCoding_density) << column;
        }
        EXPECT_GE(counts.size(), 3U) << "the streak has a ramp";
      }
    }
  }
}

TEST(Residue, ScrapesAllInksAlike) {
  const Page page = page_with(small_machine(), {{{0, true, 15, 2, 0.5, {}, "", {}, ""}}, {}, {}, {}, {}},
                              {"cyan", "magenta"});
  for (int u = 0; u < kWidth_px; ++u) {
    const double kept = page.density(u, 60, 0) / (1.1 + 0.2);
    EXPECT_NEAR(page.density(u, 60, 1), kept * (0.3 + 1.2), 2 * kCoding_density);
  }
}

TEST(Residue, SeveralMultiply) {
  const Residue one{0, true, 15, 2, 0.3, {}, "", {}, ""};
  const Residue other{1, false, 15.5, 1, 0.2, {}, "", {}, ""};
  const Layout layout = small_machine();
  const Page first = page_with(layout, {{one}, {}, {}, {}, {}}, {"cyan"});
  const Page second = page_with(layout, {{other}, {}, {}, {}, {}}, {"cyan"});
  const Page both = page_with(layout, {{one, other}, {}, {}, {}, {}}, {"cyan"});
  for (int u = 0; u < kWidth_px; ++u) {
    EXPECT_NEAR(both.density(u, 60, 0) * kSolidCyan, first.density(u, 60, 0) * second.density(u, 60, 0),
                4 * kCoding_density);
  }
}

TEST(Residue, MayTouchOnlyPartOfTheLength) {
  const Page page =
      page_with(small_machine(), {{{0, true, 15, 2, 1, {3.0, 7.5}, "", {}, ""}}, {}, {}, {}, {}}, {"cyan"});
  const int u = 115;  // drum X 16.5 mm: inside the contact in every pass that matters
  for (int v = 0; v < kHeight_px; ++v) {
    const bool touched = v >= 30 && v < 75;
    EXPECT_NEAR(page.density(u, v, 0), touched ? 0 : kSolidCyan, kCoding_density) << v;
  }
}

TEST(WeakJet, IsACombInOneInk) {
  // Head 1, jet 30: home column 10 + 120 = 130, then every 5 columns, at kept ink 1 - loss.
  const Page page = page_with(small_machine(), {{}, {{0, 1, 30, 0.7}}, {}, {}, {}}, {"cyan", "magenta"});
  const std::set<int> comb{130 - kFirstColumn, 135 - kFirstColumn, 140 - kFirstColumn, 145 - kFirstColumn};
  for (int u = 0; u < kWidth_px; ++u) {
    const double magenta = comb.contains(u) ? 0.3 : 1.0;
    EXPECT_NEAR(page.density(u, 60, 0), 1.1 + 0.2 * magenta, 2 * kCoding_density) << u;
    EXPECT_NEAR(page.density(u, 60, 1), 0.3 + kSolidMagenta * magenta, 2 * kCoding_density) << u;
  }
}

TEST(DrumScratch, IsABoxInAllInks) {
  const Page page =
      page_with(small_machine(), {{}, {}, {{20.0, 0.7, 0.45, {2, 6}}}, {}, {}}, {"cyan", "yellow"});
  for (int u = 0; u < kWidth_px; ++u) {
    const double kept = u >= 150 && u < 157 ? 0.55 : 1.0;
    EXPECT_NEAR(page.density(u, 40, 0), 1.15 * kept, kCoding_density) << u;
    EXPECT_NEAR(page.density(u, 40, 2), 1.1 * kept, kCoding_density) << u;
    EXPECT_NEAR(page.density(u, 80, 0), 1.15, kCoding_density) << u;
  }
}

// A Gaussian of the given peak and full width at half maximum, on paper and on ink.
TEST(BladeHaze, AddsNeutralDensityInWhiteAndOnInk) {
  const Causes causes{{}, {}, {}, {{25.0, 4.0, 0.2, {}}}, {}};
  const Page white = page_with(small_machine(), causes, {});
  const Page ink = page_with(small_machine(), causes, {"magenta"});
  for (int u = 0; u < kWidth_px; ++u) {
    const double x = 5.05 + 0.1 * u;
    const double haze = 0.2 * std::pow(2.0, -std::pow((x - 25) / 2, 2));
    for (int c = 0; c < 3; ++c) EXPECT_NEAR(white.density(u, 60, c), haze, kCoding_density);
    EXPECT_NEAR(ink.density(u, 60, 1), kSolidMagenta + haze, kCoding_density);
  }
}

TEST(ScannerLine, KeepsItsColumnWhateverTheSkew) {
  for (const double skew : {0.0, 2.0, -5.0}) {
    ScanOptions scan = sharp_scan();
    scan.skew_deg = skew;
    const Causes causes{{}, {}, {}, {}, {{0.25, 1.5, 0.6}}};
    const Page lined(small_machine(), sheet_with({}), causes, even_print(), scan);
    const Page plain(small_machine(), sheet_with({}), {}, even_print(), scan);
    // 400 px wide: the line covers 99.25 to 100.75.
    for (int v = 0; v < kHeight_px; v += 7) {
      for (int u = 95; u < 105; ++u) {
        const double gain = u == 99 || u == 100 ? 1 - 0.4 * 0.75 : 1;
        ASSERT_NEAR(lined.linear(u, v, 1), gain * plain.linear(u, v, 1), testing::kCoding_linear)
            << u << ", " << v;
      }
    }
  }
}

TEST(ScannerLine, ShowsBesideTheSheetToo) {
  ScanOptions scan = sharp_scan();
  scan.margin_mm = 2;
  const Page page(small_machine(), sheet_with({}), {{}, {}, {}, {}, {{0.5, 1, 0.5}}}, even_print(), scan);
  const int u = page.image.width_px / 2;
  EXPECT_NEAR(page.linear(u, 5, 0) + page.linear(u - 1, 5, 0), 2 * 0.92 * 0.75, 3 * testing::kCoding_linear);
}

// Two heads whose carriages stand 0.3 columns apart leave a gap at the seam on one side, an overlap on the
// other.
TEST(Misalignment, ShiftsInkAndShowsAtTheSeam) {
  Layout layout = small_machine();
  const geometry::ColumnMap map(layout);
  const int seam = map.seams().at(0).seam;
  const int u = seam - kFirstColumn;
  for (const double offset_px : {0.3, -0.3}) {
    layout.carriages[1].offset_mm = offset_px * testing::kPx_mm;
    const Page page = page_with(layout, {}, {"cyan"});
    const double solid = 0.8 * std::pow(10, -1.1);
    const double other = offset_px > 0 ? 0.8 : 0.8 * std::pow(10, -2.2);
    // The overlap lies in the left head's last column, the gap beyond it.
    const int changed = offset_px > 0 ? u + 1 : u;
    for (int at = u - 5; at < u + 6; ++at) {
      const double expected = at == changed ? 0.7 * solid + 0.3 * other : solid;
      EXPECT_NEAR(page.linear(at, 60, 0), expected, testing::kCoding_linear) << at;
    }
  }
}

// Heads 1 and 2 meet between columns 275 and 276. What is moved two columns away leaves two bare; what is
// moved two columns nearer lies twice on two.
TEST(CarriageShift, OpensAGapOrAnOverlapAtTheSeam) {
  for (const double offset_mm : {0.2, -0.2}) {
    const Page page = page_with(small_machine(), {{}, {}, {}, {}, {}, {{1, offset_mm}}}, {"cyan"});
    for (int column = 260; column < 290; ++column) {
      const bool gap = offset_mm > 0 && (column == 276 || column == 277);
      const bool overlap = offset_mm < 0 && (column == 274 || column == 275);
      ASSERT_NEAR(page.density(column - kFirstColumn, 60, 0),
                  kSolidCyan * (gap       ? 0
                                : overlap ? 2
                                          : 1),
                  overlap ? 0.02 : kCoding_density)
          << column;
    }
  }
}

// The raster does not know: a patch that ends on what the carriage lays ends as far off. The patch ends
// within columns that head 2 lays.
TEST(CarriageShift, MovesTheEndsOfPatches) {
  const auto last_inked = [](const Causes& causes) {
    const Page page(small_machine(), sheet_with({{{"cyan"}, {-1, 26}, {-1, 13}, 1}}), causes, even_print(),
                    sharp_scan());
    int last = 0;
    for (int u = 0; u < page.image.width_px; ++u) {
      if (page.density(u, 60, 0) > 0.5 * kSolidCyan) last = u;
    }
    return last;
  };
  const auto moved = [](std::size_t carriage, int columns) {
    return Causes{{}, {}, {}, {}, {}, {{carriage, columns * testing::kPx_mm}}};
  };
  const int in_place = last_inked({});
  EXPECT_EQ(last_inked(moved(1, 2)), in_place + 2);
  EXPECT_EQ(last_inked(moved(1, -2)), in_place - 2);
  EXPECT_EQ(last_inked(moved(0, 2)), in_place);
}

}  // namespace
}  // namespace scrapetrace
