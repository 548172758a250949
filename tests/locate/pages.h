#pragma once
// A machine whose two carriages travel opposite ways, so that a streak at the seam has one explanation, and
// pages of it from print to findings.

#include <algorithm>

#include "geometry/frames.h"
#include "scrapetrace/locate.h"
#include "support/raster_of.h"

namespace scrapetrace::testing {

// The bench machine with head 2 travelling the other way. Both heads cover columns 976 to 985 (62.6 mm).
inline Layout two_way_machine() {
  Layout layout = bench_machine();
  layout.carriages[1].travel = -1;
  layout.heads[1].first_jet_px = 976;
  return layout;
}

// The columns of the drum that Layout::drum's width rounds to; mirrored machines turn about their middle.
constexpr int kDrumColumns = 1890;

// Residue whose middle lies at an outward distance from a head's side.
inline Residue residue_at(const Layout& layout, std::size_t head, Side side, double outward_mm,
                          double width_mm, double loss, bool downstream = true) {
  Residue r;
  r.carriage = layout.heads[head].carriage;
  r.downstream = downstream;
  r.x_mm = geometry::drum_from_outward(layout, layout.heads[head], side, outward_mm) - width_mm / 2;
  r.width_mm = width_mm;
  r.loss = loss;
  return r;
}

inline Causes only(const Residue& residue) {
  Causes causes;
  causes.residues = {residue};
  return causes;
}

inline ScanInput scanned(const Layout& layout, const Causes& causes, const ScanOptions& scan,
                         const PrintOptions& print = {}) {
  return {"page.png", raster_of(layout, bench_chart(), causes, print, scan)};
}

inline Findings find(const Layout& layout, const std::vector<ScanInput>& scans) {
  const Chart chart = bench_chart();
  return locate(layout, &chart, scans, {}).findings;
}

inline Findings find(const Layout& layout, const Causes& causes, const ScanOptions& scan,
                     const PrintOptions& print = {}) {
  return find(layout, {scanned(layout, causes, scan, print)});
}

// What was found, for messages of failed tests.
inline std::string streaks_of(const Findings& findings) {
  std::string out;
  for (const Streak& s : findings.streaks) {
    out += std::string(to_string(s.likeliest())) + " at drum X " + std::to_string(s.x_drum_mm) + ", z " +
           std::to_string(s.z) + ", " + std::to_string(s.width_mm) + " mm; ";
  }
  return out;
}

// Probability of a side over all its surfaces.
inline double probability_of(const Findings& findings, const std::string& head, Side side) {
  double sum = 0;
  for (const Target& t : findings.targets) {
    if (t.head == head && t.side == side) sum += t.probability;
  }
  return sum;
}

// The streaks whose likeliest cause is the one asked for.
inline std::vector<Streak> streaks_by(const Findings& findings, Cause cause) {
  std::vector<Streak> out;
  std::copy_if(findings.streaks.begin(), findings.streaks.end(), std::back_inserter(out),
               [cause](const Streak& s) { return s.likeliest() == cause; });
  return out;
}

// An unsharp mask along the rows: what a scanning program's sharpening does.
inline SimulatedScan sharpened(const SimulatedScan& plain, double times) {
  constexpr int kReach_px = 3;
  SimulatedScan sharp = plain;
  const std::ptrdiff_t row = static_cast<std::ptrdiff_t>(plain.width_px) * plain.channels;
  const std::ptrdiff_t end = kReach_px * plain.channels;
  for (std::ptrdiff_t i = 0; i < std::ssize(plain.pixels); ++i) {
    if (i % row < end || i % row + end >= row) continue;
    double around = 0;
    for (int k = -kReach_px; k <= kReach_px; ++k)
      around += plain.pixels[static_cast<std::size_t>(i + k * plain.channels)] / (2.0 * kReach_px + 1);
    const auto at = static_cast<std::size_t>(i);
    const double value = plain.pixels[at] + times * (plain.pixels[at] - around);
    sharp.pixels[at] = static_cast<std::uint8_t>(std::clamp(std::lround(value), 0L, 255L));
  }
  return sharp;
}

}  // namespace scrapetrace::testing
