#pragma once
// Findings made by hand, so that reports are tested without an analysis.

#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::sample {

// Four heads staggered on two carriages over 320 mm, mirrored transfer.
inline Layout layout() {
  Layout out;
  out.name = "Sample 400";
  out.drum = {330, 480};
  out.raster = {400, 400};
  out.interleave = {10, {0, 3, 6, 9, 12, 15, 18, 21, 24, 27}};
  out.transfer = {true, 1.0, 325.0};
  out.inks = {{"cyan", {1.1, 0.3, 0.1}}, {"black", {1.3, 1.3, 1.3}}};
  out.carriages = {{"high", 35, 0, 1}, {"low", 145, 0, 1}};
  out.heads = {{"1", 0, 80, 128, false},
               {"2", 1, 1314, 128, false},
               {"3", 0, 2546, 128, false},
               {"4", 1, 3782, 128, true}};
  out.zones = {{"faceplate", Side::left, -6, 7, 0.35, 4},
               {"faceplate", Side::right, -6, 7, 0.3, 4},
               {"insulation", Side::left, 7, 18, 0.2, 9},
               {"insulation", Side::right, 7, 16, 0.15, 12}};
  return out;
}

inline Streak residue_streak() {
  Streak out;
  out.id = 1;
  out.scans = {0};
  out.x_sheet_mm = 164.2;
  out.sigma_mm = 0.12;
  out.x_drum_mm = 160.8;
  out.width_mm = 3.4;
  out.y_sheet_mm = {{14, 195}, {203, 392}};
  out.loss = 0.31;
  out.z = 24;
  out.inks = {"cyan", "black"};
  out.causes = {0.96, 0, 0.03, 0, 0, 0, 0.01};
  ResidueFit fit;
  fit.carriage = "high";
  fit.x_drum_mm = 160.1;
  fit.x_sigma_mm = 0.2;
  fit.width_mm = 1.8;
  fit.width_sigma_mm = 0.2;
  fit.loss = 0.12;
  fit.loss_sigma = 0.01;
  fit.probability_downstream = 0.1;
  fit.by_carriage = {{"high", 0.97}, {"low", 0.03}};
  out.residue = fit;
  return out;
}

inline Streak other_streak(std::size_t id, double x_sheet_mm, Cause cause) {
  Streak out;
  out.id = id;
  out.scans = {0};
  out.x_sheet_mm = x_sheet_mm;
  out.sigma_mm = 0.1;
  out.x_drum_mm = 325 - x_sheet_mm;
  out.width_mm = cause == Cause::blade_haze ? 9 : 0.6;
  out.y_sheet_mm = {{14, 440}};
  out.loss = cause == Cause::blade_haze ? -0.08 : 0.6;
  out.z = 12;
  out.inks = {"cyan"};
  out.causes[static_cast<std::size_t>(cause)] = 0.95;
  out.causes[static_cast<std::size_t>(Cause::unknown)] += 0.05;
  if (cause == Cause::seam_mismatch) out.seam = SeamFit{"2", "3", -0.084};
  if (cause == Cause::dead_jet) out.jet = JetFit{"2", "cyan", 57, 1.0};
  return out;
}

inline ScanReport good_scan() {
  ScanReport out;
  out.file = "proof-17.tif";
  Registration fit;
  fit.datum = Datum::patch_edges;
  fit.dpi = 600;
  fit.dpi_source = "tag";
  fit.predicted_error_mm = 0.11;
  fit.marks = 14;
  out.registration = fit;
  out.width_px = 7559;
  out.height_px = 10630;
  out.finest_streak_mm = 0.09;
  return out;
}

inline Target first_target() {
  Target out;
  out.head = "3";
  out.side = Side::left;
  out.surface = "faceplate";
  out.probability = 0.82;
  out.x_drum_mm = 160.1;
  out.x_sigma_mm = 0.3;
  out.x_sheet_mm = 164.9;
  out.outward_mm = 1.6;
  out.effort_min = 4;
  out.streaks = {1};
  out.rivals = {{"2", Side::right, "faceplate", 0.11, "A scan of a second sheet fed 5 mm to the side."}};
  return out;
}

inline Target second_target() {
  Target out = first_target();
  out.head = "2";
  out.side = Side::right;
  out.probability = 0.11;
  out.x_drum_mm = 161.0;
  out.x_sheet_mm = 164.0;
  out.outward_mm = -2.1;
  out.rivals = {{"3", Side::left, "faceplate", 0.82, "A scan of a second sheet fed 5 mm to the side."}};
  return out;
}

// One residue with a rival, one dead jet, a gap that was not seen.
inline Findings findings() {
  Findings out;
  out.scans = {good_scan()};
  out.streaks = {other_streak(2, 60, Cause::dead_jet), residue_streak()};
  out.targets = {first_target(), second_target()};
  out.unchecked = {{{0, 5}, "off the sheet", {{"1", Side::left, "insulation", 0.4}}}};
  return out;
}

}  // namespace scrapetrace::sample
