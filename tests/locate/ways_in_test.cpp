// One simulated sheet through many ways in: formats, resolutions, turns, skew, a cropped edge.

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <ostream>

#include "locate/pages.h"
#include "scan/read_page.h"
#include "scan/write_image.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::noisy_scan;
using testing::only;
using testing::residue_at;
using testing::two_way_machine;

constexpr double kPlace_mm = 0.25;
constexpr double kOutward_mm = 1.5;

struct WayIn {
  std::string file;
  ScanOptions scan;
  int jpeg_quality = 92;
  bool tags = true;
};

std::ostream& operator<<(std::ostream& out, const WayIn& way) {
  return out << way.file << " " << way.scan.dpi << " dpi, turn " << way.scan.turn_deg << ", skew "
             << way.scan.skew_deg << (way.scan.face_mirrored ? ", mirrored" : "");
}

WayIn way(const std::string& file, double dpi, int turn_deg = 0, double skew_deg = 0, bool mirrored = false) {
  WayIn out{file, noisy_scan(21, dpi)};
  out.scan.turn_deg = turn_deg;
  out.scan.skew_deg = skew_deg;
  out.scan.face_mirrored = mirrored;
  return out;
}

Findings located(const WayIn& in, const Chart& chart, const LocateOptions& options = {},
                 const PrintOptions& print = {}, const Layout& layout = two_way_machine()) {
  const auto folder = std::filesystem::temp_directory_path() / ("ways_in_" + std::to_string(getpid()));
  std::filesystem::create_directories(folder);
  const auto image = simulate_scan(
      layout, chart, only(residue_at(layout, 0, Side::right, kOutward_mm, 0.8, 0.5)), print, in.scan);
  EXPECT_TRUE(image.ok());
  const std::string path = (folder / in.file).string();
  scan::ImageOptions write;
  write.dpi = in.scan.dpi;
  write.resolution_tags = in.tags;
  write.jpeg_quality = in.jpeg_quality;
  const scan::Pixels pixels{image->width_px, image->height_px, image->channels, image->bits, image->pixels};
  EXPECT_TRUE(scan::write_image(pixels, path, write).ok());
  scan::ReadOptions read;
  read.sheet_mm = chart.sheet_mm;
  read.lead_edge = options.lead_edge;
  const ScanInput input{path, scan::read_page(path, read)};
  std::filesystem::remove_all(folder);
  return locate(layout, &chart, {input}, options).findings;
}

class WaysIn : public ::testing::TestWithParam<WayIn> {};

TEST_P(WaysIn, LeadToTheSameTarget) {
  const Findings found = located(GetParam(), bench_chart());
  ASSERT_TRUE(found.scans[0].analysed()) << found.scans[0].reasons[0];
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
  EXPECT_GT(found.targets[0].probability, 0.8);
  EXPECT_NEAR(found.targets[0].outward_mm, kOutward_mm, kPlace_mm);
}

WayIn deep(WayIn in) {
  in.scan.bits = 16;
  return in;
}
WayIn grey(WayIn in) {
  in.scan.grey = true;
  return in;
}
WayIn cropped(WayIn in) {
  in.scan.margin_mm = -4;
  return in;
}
WayIn untagged(WayIn in) {
  in.tags = false;
  return in;
}

INSTANTIATE_TEST_SUITE_P(
    Files, WaysIn,
    ::testing::Values(way("a.tif", 300), way("a.png", 400), way("a.jpg", 600), deep(way("a.tif", 300)),
                      grey(way("a.png", 300)), untagged(way("a.png", 300)), cropped(way("a.tif", 300)),
                      way("a.tif", 300, 90), way("a.jpg", 400, 180), way("a.png", 300, 270),
                      way("a.tif", 300, 0, 5), way("a.tif", 400, 90, -5), way("a.tif", 400, 0, -9.5),
                      way("a.png", 300, 0, 0, true), way("a.png", 300, 90, 2, true),
                      way("a.png", 300, 180, -1, true), way("a.png", 300, 270, 0, true)));

// The bench's bands without the mark in the corner: the same upside down but for the order of the inks, and
// with one ink only the same every way round.
Chart plain_chart() {
  Chart chart = bench_chart();
  chart.name = "one solid";
  chart.patches = {{{"cyan"}, {8, 92}, {10, 110}, 1}};
  return chart;
}

// Shifts 0, 1, 4, 7, 13: from the other end 0, 6, 9, 12, 13. In arithmetic progression they mesh either way,
// whatever their travel.
Layout uneven_machine() {
  Layout layout = two_way_machine();
  layout.interleave = {5, {0, 1, 7, 13, 4}};
  return layout;
}

double probability_of_truth(const Findings& found) {
  return testing::probability_of(found, "1", Side::right);
}

struct State {
  int turn_deg;
  bool mirrored;
};
void PrintTo(const State& state, std::ostream* out) {
  *out << "turned by " << state.turn_deg << (state.mirrored ? " mirrored" : "");
}

class States : public ::testing::TestWithParam<State> {
 protected:
  [[nodiscard]] WayIn in() const { return way("a.png", 300, GetParam().turn_deg, 0.7, GetParam().mirrored); }
  // Mirrored before the turn, as the scan is: what has to be undone is the turn back.
  [[nodiscard]] bool true_way(const WayUp& seen) const {
    return seen.turn_deg == (360 - GetParam().turn_deg) % 360 && seen.face_mirrored == GetParam().mirrored;
  }
  // A sheet that looks the same end for end, mirrored and turned by half, is the same across.
  [[nodiscard]] bool true_across(const WayUp& seen) const {
    return true_way(seen) || true_way({(seen.turn_deg + 180) % 360, !seen.face_mirrored, seen.probability});
  }
};

TEST_P(States, AreToldApartByAMark) {
  const Findings found = located(in(), bench_chart());
  ASSERT_TRUE(found.scans[0].analysed());
  const auto& ways = found.scans[0].registration->ways_up;
  ASSERT_EQ(ways.size(), 1U);
  EXPECT_TRUE(true_way(ways[0]));
}

// What is printed is the same both ways; how the heads print it is not, though one ink alone decides little.
// Mirrored and turned as well, the page is the same across, and so is the answer.
TEST_P(States, OfASymmetricChartStillNameTheRightPlaceFirst) {
  const Findings found = located(in(), plain_chart(), {}, {}, uneven_machine());
  ASSERT_TRUE(found.scans[0].analysed());
  const auto& ways = found.scans[0].registration->ways_up;
  EXPECT_GE(std::count_if(ways.begin(), ways.end(), [&](const WayUp& w) { return true_across(w); }), 1);
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
  EXPECT_GT(found.targets[0].probability, 0.5);
}

TEST_P(States, OfASymmetricChartAreSaidToBeUndecidedWithoutThem) {
  PrintOptions even;
  even.jet_variation = 0;
  const Findings found = located(in(), plain_chart(), {}, even);
  ASSERT_TRUE(found.scans[0].analysed());
  const auto& ways = found.scans[0].registration->ways_up;
  ASSERT_GE(ways.size(), 2U);
  EXPECT_GE(std::count_if(ways.begin(), ways.end(), [&](const WayUp& w) { return true_across(w); }), 1);
  double sum = 0;
  for (const WayUp& w : ways) sum += w.probability;
  EXPECT_NEAR(sum, 1, 1e-9);
  EXPECT_LT(ways[0].probability, 0.85);
  EXPECT_EQ(found.scans[0].verdict, QualityVerdict::limited);
  const auto& reasons = found.scans[0].reasons;
  EXPECT_TRUE(std::any_of(reasons.begin(), reasons.end(),
                          [](const std::string& r) { return r.find("--lead-edge") != std::string::npos; }));
  // The truth has a share, and nobody has it all.
  EXPECT_GT(probability_of_truth(found), 0.15);
  for (const Target& t : found.targets) EXPECT_LT(t.probability, 0.85) << t.head;
}

class Turns : public States {};  // no side of the image tells a mirror image

TEST_P(Turns, AreDecidedByTheLeadEdge) {
  LocateOptions options;
  options.lead_edge = GetParam().turn_deg == 0     ? ImageSide::top
                      : GetParam().turn_deg == 90  ? ImageSide::right
                      : GetParam().turn_deg == 180 ? ImageSide::bottom
                                                   : ImageSide::left;
  const Findings found = located(in(), plain_chart(), options);
  ASSERT_TRUE(found.scans[0].analysed());
  EXPECT_TRUE(true_way(found.scans[0].registration->ways_up[0]));
  EXPECT_GT(found.scans[0].registration->ways_up[0].probability, 0.9);
  ASSERT_FALSE(found.targets.empty());
  EXPECT_EQ(found.targets[0].head, "1");
  EXPECT_EQ(found.targets[0].side, Side::right);
  EXPECT_NEAR(found.targets[0].outward_mm, kOutward_mm, kPlace_mm);
}

INSTANTIATE_TEST_SUITE_P(TurnAndMirror, States,
                         ::testing::Values(State{0, false}, State{90, false}, State{180, false},
                                           State{270, false}, State{0, true}, State{90, true},
                                           State{180, true}, State{270, true}));

INSTANTIATE_TEST_SUITE_P(Turn, Turns,
                         ::testing::Values(State{0, false}, State{90, false}, State{180, false},
                                           State{270, false}));

}  // namespace
}  // namespace scrapetrace
