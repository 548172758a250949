// Every reason to ask for a better scan: there when it was made, and not on a sound page.

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "base/written_mm.h"
#include "locate/pages.h"
#include "scan/pixel_statistics.h"
#include "scan/read_page.h"
#include "scan/write_image.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::noisy_scan;
using testing::only;
using testing::residue_at;

SimulatedScan simulated(const ScanOptions& scan, const PrintOptions& print = {}) {
  return *simulate_scan(bench_machine(), bench_chart(), {}, print, scan);
}

// As a file's reader makes it, its single pixels looked at.
PageRaster read(const SimulatedScan& image) {
  PageRaster page = testing::raster_of(image);
  scan::PixelSampler sampler(page.pixels, image.width_px, image.channels, image.bits / 8);
  const std::size_t stride = image.pixels.size() / static_cast<std::size_t>(image.height_px);
  for (std::size_t v = 0; v < static_cast<std::size_t>(image.height_px); ++v)
    sampler.add_row(image.pixels.data() + v * stride);
  return page;
}

ScanReport report_of(const PageRaster& page) {
  return testing::find(bench_machine(), {{"page.png", page}}).scans[0];
}
ScanReport report_of(const SimulatedScan& image) {
  return report_of(read(image));
}

bool has(const ScanReport& report, ScanIssue issue) {
  return std::find(report.issues.begin(), report.issues.end(), issue) != report.issues.end();
}

// The issue, and no other.
void expect_only(const ScanReport& report, ScanIssue issue) {
  ASSERT_TRUE(report.analysed());
  EXPECT_TRUE(has(report, issue)) << to_string(issue);
  for (const ScanIssue other : report.issues) EXPECT_EQ(to_string(other), to_string(issue));
  EXPECT_EQ(report.verdict, QualityVerdict::limited);
}

template <class Change>
SimulatedScan changed(SimulatedScan image, Change change) {
  const int row = image.width_px * image.channels;
  for (std::size_t i = 0; i < image.pixels.size(); ++i) {
    const int u = static_cast<int>(i) % row / image.channels;
    image.pixels[i] = static_cast<std::uint8_t>(
        std::clamp(std::lround(change(static_cast<double>(image.pixels[i]), u)), 0L, 255L));
  }
  return image;
}

TEST(Quality, SoundPagesHaveNoIssue) {
  for (const double dpi : {200.0, 300.0, 400.0, 600.0}) {
    for (const double skew_deg : {0.0, 1.3, -4.0}) {
      ScanOptions scan = noisy_scan(7, dpi);
      scan.skew_deg = skew_deg;
      const ScanReport report = report_of(simulated(scan));
      EXPECT_EQ(report.verdict, QualityVerdict::ok) << dpi << " " << skew_deg;
      for (const auto& reason : report.reasons) ADD_FAILURE() << dpi << " " << skew_deg << ": " << reason;
    }
  }
}

TEST(Quality, TooCoarse) {
  const ScanReport coarse = report_of(simulated(noisy_scan(3, 120)));
  EXPECT_TRUE(has(coarse, ScanIssue::too_coarse));
  ASSERT_FALSE(coarse.reasons.empty());
  EXPECT_NE(coarse.reasons[0].find("no streak narrower than 0."), std::string::npos) << coarse.reasons[0];
  EXPECT_GT(coarse.finest_streak_mm, report_of(simulated(noisy_scan(3, 600))).finest_streak_mm);
}

TEST(Quality, OutOfFocus) {
  ScanOptions scan = noisy_scan(3);
  scan.blur_px = 3;
  expect_only(report_of(simulated(scan)), ScanIssue::out_of_focus);
}

TEST(Quality, Clipped) {
  expect_only(report_of(changed(simulated(noisy_scan(3)), [](double code, int) { return code * 1.085; })),
              ScanIssue::clipped);
  expect_only(report_of(changed(simulated(noisy_scan(3)), [](double code, int) { return 1.4 * code - 110; })),
              ScanIssue::clipped);
}

TEST(Quality, WhitenedPaper) {
  expect_only(report_of(changed(simulated(noisy_scan(3)),
                                [](double code, int) { return code > 215 ? 255.0 : code; })),
              ScanIssue::enhanced);
}

TEST(Quality, Sharpened) {
  EXPECT_TRUE(has(report_of(testing::sharpened(simulated(noisy_scan(3)), 1.0)), ScanIssue::enhanced));
}

TEST(Quality, Moire) {
  const auto fringed = changed(simulated(noisy_scan(3)), [](double code, int u) {
    return code + 3 * std::sin(2 * std::numbers::pi * u / 23.0);
  });
  expect_only(report_of(fringed), ScanIssue::moire);
}

// Without so much of its columns on one side.
SimulatedScan cut(const SimulatedScan& image, double mm, bool left) {
  SimulatedScan out = image;
  out.width_px = image.width_px - static_cast<int>(std::lround(mm * image.dpi / 25.4));
  const auto row = static_cast<std::size_t>(image.width_px * image.channels);
  const auto kept = static_cast<std::size_t>(out.width_px * image.channels);
  out.pixels.clear();
  for (std::size_t at = left ? row - kept : 0; at + kept <= image.pixels.size(); at += row)
    out.pixels.insert(out.pixels.end(), image.pixels.begin() + static_cast<std::ptrdiff_t>(at),
                      image.pixels.begin() + static_cast<std::ptrdiff_t>(at + kept));
  return out;
}

// Mottle and jets have more power in long periods; few inks on a short sheet once made a fringe of it.
TEST(Quality, NoMoireOfMottle) {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    PrintOptions print;
    print.machine_seed = seed;
    Chart chart = bench_chart();
    chart.patches.erase(chart.patches.begin() + 2, chart.patches.begin() + 4);
    const auto sheet = testing::raster_of(bench_machine(), chart, {}, print, noisy_scan(seed));
    const auto report = locate(bench_machine(), &chart, {{"page.png", sheet}}, {}).findings.scans[0];
    EXPECT_FALSE(has(report, ScanIssue::moire)) << seed;
  }
}

TEST(Quality, Cropped) {
  ScanOptions scan = noisy_scan(3);
  scan.margin_mm = -11;
  const ScanReport report = report_of(simulated(scan));
  EXPECT_TRUE(has(report, ScanIssue::cropped));
}

// One side cut off, by little and by much: told with its millimetres and nothing else, and the residue is
// where it is, although the scale across rests on one side and on the jets.
TEST(Quality, CroppedOnOneSide) {
  const Layout layout = testing::two_way_machine();
  const Causes causes = only(residue_at(layout, 0, Side::right, 1.5, 0.8, 0.3));
  for (const bool left : {true, false}) {
    for (const double mm : {1.7, 6.0, 16.0}) {
      const auto whole = simulate_scan(layout, bench_chart(), causes, {}, noisy_scan(17));
      const Findings found = testing::find(layout, {{"page.png", read(cut(*whole, 3 + 8 + mm, left))}});
      SCOPED_TRACE(std::to_string(mm) + (left ? " left" : " right"));
      expect_only(found.scans[0], ScanIssue::cropped);
      const std::string said =
          written_mm(mm, 1) + " of the print are cut off at its " + (left ? "left" : "right");
      EXPECT_NE(found.scans[0].reasons[0].find(said), std::string::npos) << found.scans[0].reasons[0];
      ASSERT_FALSE(found.targets.empty());
      EXPECT_EQ(found.targets[0].head + " " + to_string(found.targets[0].side), "1 right");
      EXPECT_NEAR(found.targets[0].outward_mm, 1.5, 0.15);
    }
  }
}

TEST(Quality, CodedInBlocks) {
  // Every block of eight columns has a level of its own, as coarse coding of a gentle slope leaves it.
  const auto blocky = changed(simulated(noisy_scan(3)), [](double code, int u) {
    return 6 * std::round(code / 6) + ((u / 8) % 2 == 0 ? 4 : -4);
  });
  EXPECT_TRUE(has(report_of(blocky), ScanIssue::compressed));
}

// Through files, as the usual coder makes them.
PageRaster as_jpeg(const SimulatedScan& image, int quality) {
  const std::string path = ::testing::TempDir() + "quality_" + std::to_string(quality) + ".jpg";
  scan::ImageOptions options;
  options.dpi = image.dpi;
  options.jpeg_quality = quality;
  EXPECT_TRUE(scan::write_image({image.width_px, image.height_px, image.channels, image.bits, image.pixels},
                                path, options));
  scan::ReadOptions reading;
  reading.sheet_mm = bench_chart().sheet_mm;
  const auto page = scan::read_page(path, reading);
  EXPECT_TRUE(page);
  return *page;
}

// As a feeder leaves it: rows moved sideways by a slow wave.
PageRaster swayed(PageRaster page, double dpi, double sway_mm, double period_mm, double phase) {
  const auto width = static_cast<std::ptrdiff_t>(page.width_px);
  for (int b = 0; b < page.blocks(); ++b) {
    const double y_mm = (b + 0.5) * page.rows_per_block / dpi * 25.4;
    const double by_px = sway_mm / 25.4 * dpi * std::sin(2 * std::numbers::pi * y_mm / period_mm + phase);
    for (std::ptrdiff_t c = 0; c < 3; ++c) {
      const auto row = page.linear.own().begin() + (b * 3 + c) * width;
      const std::vector<std::uint16_t> from(row, row + width);
      for (std::ptrdiff_t u = 0; u < width; ++u) {
        const double at = std::clamp(static_cast<double>(u) + by_px, 0.0, static_cast<double>(width - 2));
        const auto k = static_cast<std::size_t>(at);
        const double t = at - static_cast<double>(k);
        row[u] = static_cast<std::uint16_t>(std::lround(from[k] * (1 - t) + from[k + 1] * t));
      }
    }
  }
  return page;
}

// A sheet that swayed through a feeder reads like one that lay still, and it is said; one that lay still is
// not said to have swayed, nor one of which a streak takes a part of one side.
TEST(Quality, SwayedThroughAFeeder) {
  const Layout layout = testing::two_way_machine();
  for (const std::uint64_t seed : {81U, 82U, 83U}) {
    const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 0.9, 0.12));
    const auto still = read(*simulate_scan(layout, bench_chart(), causes, {}, noisy_scan(seed)));
    const auto told = [](const Findings& found) {
      const auto& notes = found.scans[0].notes;
      return std::any_of(notes.begin(), notes.end(),
                         [](const std::string& note) { return note.find("swayed by") != std::string::npos; });
    };
    EXPECT_FALSE(told(testing::find(layout, {{"page.png", still}})));
    for (const double sway_mm : {0.06, 0.2}) {
      const auto page = swayed(still, 300, sway_mm, 70 + 10 * static_cast<double>(seed % 4),
                               0.9 * static_cast<double>(seed));
      const Findings found = testing::find(layout, {{"page.png", page}});
      SCOPED_TRACE(std::to_string(seed) + ", mm: " + std::to_string(sway_mm));
      EXPECT_TRUE(told(found));
      EXPECT_EQ(found.scans[0].verdict, QualityVerdict::ok);
      EXPECT_LT(found.scans[0].registration->residual_mm, 0.01);
      ASSERT_FALSE(found.targets.empty());
      EXPECT_EQ(found.targets[0].head + " " + to_string(found.targets[0].side), "1 right");
      EXPECT_NEAR(found.targets[0].outward_mm, 1.2, 0.1);
    }
    Residue edge = residue_at(layout, 0, Side::right, 1.2, 2.0, 0.5);
    edge.x_mm = geometry::SheetFromDrum(layout).drum_x(8.3) - 1;
    edge.y = {20, 70};
    EXPECT_FALSE(told(testing::find(layout, only(edge), noisy_scan(seed))));
  }
}

// Strong compression is no scan to judge by; moderate compression is used, and says what it hides; the best
// is as good as none.
TEST(Quality, CompressedByTheUsualCoder) {
  const auto image = simulated(noisy_scan(3));
  const ScanReport best = report_of(as_jpeg(image, 97));
  EXPECT_EQ(best.verdict, QualityVerdict::ok);
  const ScanReport good = report_of(as_jpeg(image, 90));
  EXPECT_TRUE(good.analysed());
  EXPECT_FALSE(has(good, ScanIssue::compressed));
  EXPECT_GT(good.finest_streak_mm, best.finest_streak_mm);
  for (const int quality : {30, 50}) {
    const ScanReport strong = report_of(as_jpeg(image, quality));
    EXPECT_FALSE(strong.analysed()) << quality;
    EXPECT_EQ(strong.verdict, QualityVerdict::rescan) << quality;
    EXPECT_TRUE(has(strong, ScanIssue::compressed)) << quality;
    ASSERT_EQ(strong.reasons.size(), 1U);
    EXPECT_NE(strong.reasons[0].find("save as TIFF or PNG"), std::string::npos) << strong.reasons[0];
  }
}

// Whatever of a sheet without faults a coder leaves, it makes no target of it.
TEST(Quality, ACodersBlocksAreNoStreaks) {
  for (const std::uint64_t seed : {11U, 12U, 13U}) {
    const auto image = simulated(noisy_scan(seed));
    for (const int quality : {65, 70, 75, 80, 85, 92}) {
      const Findings found = testing::find(bench_machine(), {{"a.jpg", as_jpeg(image, quality)}});
      for (const Target& target : found.targets)
        EXPECT_LT(target.probability, 0.2) << seed << " " << quality << " " << target.head;
    }
  }
}

// The sheet of another chart, and the right one.
TEST(Quality, AnotherChart) {
  const PageRaster page = read(simulated(noisy_scan(3)));
  Chart other = bench_chart();
  other.name = "another";
  other.patches = {{{"yellow"}, {8, 50}, {10, 100}, 1}, {{"magenta"}, {54, 92}, {60, 114}, 1}};
  const auto found = locate(bench_machine(), &other, {{"page.png", page}}, {}).findings.scans[0];
  EXPECT_FALSE(found.analysed());
  EXPECT_EQ(found.verdict, QualityVerdict::rescan);
  ASSERT_FALSE(found.reasons.empty());
  EXPECT_NE(found.reasons[0].find("does not look like the chart \"another\""), std::string::npos);
  EXPECT_TRUE(report_of(page).analysed());
}

bool says(const ScanReport& report, const std::string& words) {
  return std::any_of(report.reasons.begin(), report.reasons.end(),
                     [&](const std::string& reason) { return reason.find(words) != std::string::npos; });
}

// Charts that the sheet agrees with well enough to be placed by, and which are another's all the same.
TEST(Quality, ChartsThatAreNearlyRight) {
  const PageRaster page = read(simulated(noisy_scan(5)));
  const auto against = [&](const Chart& chart) {
    return locate(bench_machine(), &chart, {{"page.png", page}}, {}).findings.scans[0];
  };
  Chart inks = bench_chart();
  std::swap(inks.patches[0].inks, inks.patches[1].inks);
  const ScanReport other_inks = against(inks);
  EXPECT_EQ(other_inks.verdict, QualityVerdict::limited);
  EXPECT_TRUE(says(other_inks, "10 to 30 mm from the lead edge is magenta on the chart"));
  EXPECT_TRUE(says(other_inks, "but looks like cyan on the scan"));
  Chart longer = bench_chart();
  longer.patches[2].y_mm[0] -= 7;
  longer.patches[1].y_mm[1] -= 7;
  const ScanReport other_length = against(longer);
  EXPECT_EQ(other_length.verdict, QualityVerdict::limited);
  EXPECT_TRUE(says(other_length, "51 to 74 mm from the lead edge is not printed over the length"));
  EXPECT_EQ(against(bench_chart()).verdict, QualityVerdict::ok);
}

// What is clipped to black, blurred by 0.4 mm or sharpened strongly is said, and no target comes of it.
TEST(Quality, BadScansMakeNoTargets) {
  for (const std::uint64_t seed : {61U, 62U, 63U}) {
    ScanOptions scan = noisy_scan(seed);
    const auto plain = simulated(scan);
    scan.blur_px = 4.7;
    const std::vector<PageRaster> pages = {
        read(changed(plain, [](double code, int) { return 242 + 1.45 * (code - 242); })),
        read(changed(plain, [](double code, int) { return 242 + 1.8 * (code - 242); })),
        read(simulated(scan))};
    for (std::size_t k = 0; k < pages.size(); ++k) {
      const Findings found = testing::find(bench_machine(), {{"page.png", pages[k]}});
      EXPECT_FALSE(found.scans[0].issues.empty()) << seed << " " << k;
      for (const Target& t : found.targets)
        EXPECT_LT(t.probability, 0.5) << seed << " " << k << " " << t.head;
    }
  }
}

// The same inks, sheet and chart, but jets that stand otherwise.
TEST(Quality, PrintedByAnotherMachine) {
  Layout other = bench_machine();
  other.interleave = {7, {0, 3, 6, 9, 12, 15, 18}};
  other.heads = {{"1", 0, 40, 136, false}, {"2", 1, 960, 124, false}};
  for (const std::uint64_t seed : {1U, 2U, 3U}) {
    PrintOptions print;
    print.machine_seed = seed;
    const auto sheet = testing::scanned(bench_machine(), {}, noisy_scan(seed), print);
    const ScanReport report = testing::find(other, {sheet}).scans[0];
    EXPECT_FALSE(report.analysed());
    EXPECT_EQ(report.verdict, QualityVerdict::rescan);
    EXPECT_TRUE(has(report, ScanIssue::wrong_machine));
    ASSERT_EQ(report.reasons.size(), 1U);
    EXPECT_NE(report.reasons[0].find("not printed by this machine"), std::string::npos) << report.reasons[0];
  }
}

TEST(Quality, HeadsThatStandElsewhere) {
  Layout layout = bench_machine();
  layout.heads = {{"1", 0, 40, 123, false}, {"2", 1, 638, 123, false}, {"3", 0, 1225, 116, false}};
  Layout moved = layout;
  for (Head& head : moved.heads) head.first_jet_px += 7;  // 0.44 mm
  const auto sheet = testing::scanned(layout, {}, noisy_scan(4));
  const ScanReport report = testing::find(moved, {sheet}).scans[0];
  expect_only(report, ScanIssue::wrong_machine);
  EXPECT_NE(report.reasons[0].find("mm to the left"), std::string::npos) << report.reasons[0];
}

Layout four_heads() {
  Layout layout = bench_machine();
  layout.heads = {
      {"1", 0, 40, 88, false}, {"2", 1, 464, 88, false}, {"3", 0, 888, 88, false}, {"4", 1, 1312, 99, false}};
  return layout;
}

// Of two carriages either may be called apart. Read with the right layout nothing is said; with a head or a
// carriage a column or two off it is named, and nothing that only jets in their places could show is made of
// it.
TEST(Quality, HeadsAndCarriagesThatStandApart) {
  const Layout layout = four_heads();
  for (const std::uint64_t seed : {31U, 32U}) {
    const auto sheet = testing::scanned(layout, {}, noisy_scan(seed));
    EXPECT_EQ(testing::find(layout, {sheet}).scans[0].verdict, QualityVerdict::ok);
    Layout one = layout;
    one.heads[2].first_jet_px += 2;
    Layout both = layout;
    both.carriages[1].offset_mm = 0.1;
    for (const auto& [read, who] : {std::pair{one, "head \"3\" stands 0.13 mm to the left"},
                                    std::pair{both, "stand 0.10 mm to the "}}) {
      const Findings found = testing::find(read, {sheet});
      expect_only(found.scans[0], ScanIssue::wrong_machine);
      ASSERT_FALSE(found.scans[0].reasons.empty()) << seed << " " << who;
      EXPECT_NE(found.scans[0].reasons[0].find(who), std::string::npos) << found.scans[0].reasons[0];
      for (const Target& t : found.targets)
        EXPECT_LT(t.probability, 0.5) << seed << " " << who << " " << t.head;
    }
  }
}

TEST(Quality, SheetsOfDifferentStates) {
  const Layout layout = bench_machine();
  const Causes one = only(residue_at(layout, 0, Side::right, 1.5, 0.8, 0.5));
  const Causes none;
  const auto scan_of = [&](const Causes& causes, std::uint64_t seed) {
    return testing::scanned(layout, causes, noisy_scan(seed));
  };
  const Findings different = testing::find(layout, {scan_of(one, 1), scan_of(none, 2)});
  EXPECT_TRUE(has(different.scans[0], ScanIssue::other_sheet));
  EXPECT_FALSE(has(different.scans[1], ScanIssue::other_sheet));
  const Findings alike = testing::find(layout, {scan_of(one, 1), scan_of(one, 2)});
  EXPECT_FALSE(has(alike.scans[0], ScanIssue::other_sheet));
  EXPECT_FALSE(has(alike.scans[1], ScanIssue::other_sheet));
  const Findings odd = testing::find(layout, {scan_of(one, 1), scan_of(none, 2), scan_of(one, 3)});
  EXPECT_TRUE(has(odd.scans[1], ScanIssue::other_sheet));
}

// Sheets of two machines of one kind, clean both: only their jets' volumes tell.
TEST(Quality, SheetsOfTwoMachines) {
  const Layout layout = bench_machine();
  const auto sheet_of = [&](std::uint64_t machine, std::uint64_t seed, double dpi) {
    PrintOptions print;
    print.machine_seed = machine;
    return testing::scanned(layout, {}, noisy_scan(seed, dpi), print);
  };
  for (const std::uint64_t seed : {51U, 54U}) {
    const auto reports = [&](std::uint64_t second, std::uint64_t third) {
      return testing::find(layout, {sheet_of(seed, seed, 300), sheet_of(second, seed + 1, 400),
                                    sheet_of(third, seed + 2, 300)})
          .scans;
    };
    for (const ScanReport& report : reports(seed, seed)) EXPECT_EQ(report.verdict, QualityVerdict::ok);
    const auto last = reports(seed, seed + 100);
    EXPECT_EQ(last[0].verdict, QualityVerdict::ok);
    EXPECT_EQ(last[1].verdict, QualityVerdict::ok);
    expect_only(last[2], ScanIssue::other_sheet);
    const auto first = reports(seed + 100, seed + 100);
    expect_only(first[0], ScanIssue::other_sheet);
    EXPECT_EQ(first[1].verdict, QualityVerdict::ok);
  }
}

}  // namespace
}  // namespace scrapetrace
