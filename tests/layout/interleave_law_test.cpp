// Which interleaves print every column once, against the coverage law of the Gutenprint developer guide,
// chapter "Weaving": with J jets S rows apart and an advance of J rows per pass, each row is printed once iff
// gcd(S, J) = 1. Across a drum the same law reads: N passes of step s at pitch N are complete iff gcd(s, N)
// = 1.

#include <gtest/gtest.h>

#include <map>
#include <numeric>

#include "files.h"
#include "geometry/column_map.h"

namespace scrapetrace {
namespace {

// A head of 40 jets on a drum wide enough for its travel, as a layout file.
std::string layout_with(int pitch, int step, int travel) {
  std::string shifts;
  for (int k = 0; k < pitch; ++k) shifts += (k > 0 ? ", " : "") + std::to_string(k * step);
  return "schema = \"scrapetrace.layout/1\"\nname = \"law\"\n"
         "drum = { width_mm = 300, circumference_mm = 300 }\n"
         "raster = { cross_process_dpi = 254, process_dpi = 254 }\n"
         "interleave = { jet_pitch_px = " +
         std::to_string(pitch) + ", shift_px = [" + shifts +
         "] }\n"
         "transfer = { mirrored = false, scale_cross = 1, sheet_left_on_drum_mm = 0 }\n"
         "ink = [{ name = \"black\", solid_density_rgb = [1, 1, 1] }]\n"
         "carriage = [{ name = \"only\", angle_deg = 0, travel = " +
         std::to_string(travel) +
         " }]\n"
         "head = [{ name = \"only\", carriage = \"only\", first_jet_px = 1000, jets = 40 }]\n"
         "zone = [{ surface = \"s\", side = \"left\", from_mm = 0, to_mm = 1, prior = 1 }]\n";
}

// Counts the passes over every column between the head's innermost limits, one jet at a time.
bool covers_once(int pitch, int step) {
  std::map<int, int> times;
  for (int jet = 0; jet < 40; ++jet) {
    for (int k = 0; k < pitch; ++k) ++times[jet * pitch + k * step];
  }
  for (int c = (pitch - 1) * step; c <= 39 * pitch; ++c) {
    if (times[c] != 1) return false;
  }
  return true;
}

TEST(InterleaveLaw, ReaderBruteForceAndGcdAgree) {
  for (int pitch = 1; pitch <= 16; ++pitch) {
    for (int step = 1; step <= 16; ++step) {
      for (const int travel : {1, -1}) {
        const auto layout = layout::read_layout(layout_with(pitch, step, travel), "law");
        const bool coprime = std::gcd(step, pitch) == 1;
        EXPECT_EQ(covers_once(pitch, step), coprime) << pitch << " " << step;
        EXPECT_EQ(layout.ok(), coprime)
            << pitch << " " << step << " " << (layout ? "" : test::shown(layout.problems()));
      }
    }
  }
}

// The guide's own pairs (jets, rows apart): each row once for (4, 7), (6, 7), (10, 21); not for (6, 4), (8,
// 6).
TEST(InterleaveLaw, TheGuidesPairs) {
  for (const auto& [jets, apart, once] : std::vector<std::tuple<int, int, bool>>{
           {4, 7, true}, {6, 7, true}, {10, 21, true}, {6, 4, false}, {8, 6, false}}) {
    Interleave interleave;
    interleave.jet_pitch_px = apart;
    for (int k = 0; k < apart; ++k) interleave.shift_px.push_back(k * jets);
    const auto pass = geometry::pass_of_residue(interleave, 1);
    EXPECT_EQ(std::all_of(pass.begin(), pass.end(), [](int p) { return p >= 0; }), once)
        << jets << " " << apart;
  }
}

}  // namespace
}  // namespace scrapetrace
