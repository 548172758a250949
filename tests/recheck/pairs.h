#pragma once
// Streaks and readings made by hand.

#include "scrapetrace/recheck.h"

namespace scrapetrace::pairs {

// Two heads on two carriages, 0.1 mm columns, sheet x = drum X.
inline Layout layout() {
  Layout out;
  out.name = "Pair";
  out.drum = {100, 300};
  out.raster = {254, 254};
  out.interleave = {4, {0, 3, 6, 9}};
  out.transfer = {false, 1.0, 0.0};
  out.inks = {{"black", {1.2, 1.2, 1.2}}};
  out.carriages = {{"front", 30, 0, 1}, {"rear", 90, 0, 1}};
  out.heads = {{"a", 0, 20, 100, false}, {"b", 1, 400, 100, false}};
  out.zones = {{"faceplate", Side::left, -1, 2, 0.6, 4}, {"faceplate", Side::right, -1, 2, 0.4, 4}};
  return out;
}

// Residue at `x_mm` of head a's right (probability p) or head b's left (q).
inline Streak residue(std::size_t id, double x_mm, double loss, double p, double q) {
  Streak out;
  out.id = id;
  out.scans = {0};
  out.x_drum_mm = x_mm;
  out.x_sheet_mm = x_mm;
  out.sigma_mm = 0.05;
  out.width_mm = 2;
  out.loss = loss;
  out.z = 30;
  out.inks = {"black"};
  out.causes = {p + q, 1 - p - q, 0, 0, 0, 0};
  ResidueFit fit;
  fit.carriage = "front";
  fit.x_drum_mm = x_mm - 0.5;
  fit.x_sigma_mm = 0.03;
  fit.width_mm = 1;
  out.residue = fit;
  out.targets = {{"a", Side::right, "faceplate", p}, {"b", Side::left, "faceplate", q}};
  return out;
}

inline Streak haze(std::size_t id, double x_mm) {
  Streak out;
  out.id = id;
  out.x_drum_mm = x_mm;
  out.x_sheet_mm = x_mm;
  out.sigma_mm = 0.5;
  out.width_mm = 8;
  out.loss = -0.05;
  out.causes[static_cast<std::size_t>(Cause::blade_haze)] = 1;
  return out;
}

inline Findings findings(std::vector<Streak> streaks) {
  Findings out;
  ScanReport scan;
  scan.file = "sheet.tif";
  scan.registration = Registration{};
  out.scans = {scan};
  for (const Streak& streak : streaks) {
    for (const auto& t : streak.targets) {
      Target target;
      target.head = t.head;
      target.side = t.side;
      target.surface = t.surface;
      target.probability = t.probability;
      out.targets.push_back(target);
    }
  }
  out.streaks = std::move(streaks);
  return out;
}

inline Reading reading(double loss, double sigma = 0.01) {
  return {true, loss, sigma};
}

// One streak before that reads `before` and, on the after sheet, `after`; nothing found after, paper clean.
inline RecheckEvidence one_streak(const Streak& streak, Reading before, Reading after) {
  RecheckEvidence out;
  out.before = findings({streak});
  out.after = findings({});
  out.of_before = {{{before}}, {{after}}};
  out.white_after = {{reading(0, 0.001)}};
  return out;
}

}  // namespace scrapetrace::pairs
