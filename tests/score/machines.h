#pragma once
// A small machine for cases that are rendered in a test.

#include "score/case_record.h"

namespace scrapetrace::score::testing {

// Two carriages that travel alike, two heads, 300 dpi; a chart of three bands on a sheet of 60 x 60 mm.
inline ScoreMachine toy_machine() {
  ScoreMachine out;
  out.name = "toy";
  Layout& layout = out.layout;
  layout.name = "toy";
  layout.drum = {80, 120};
  layout.raster = {300, 300};
  layout.interleave = {5, {0, 3, 6, 9, 12}};
  layout.transfer = {false, 1.0, 8.0};
  layout.inks = {
      {"cyan", {1.10, 0.32, 0.12}}, {"magenta", {0.16, 1.15, 0.42}}, {"yellow", {0.03, 0.09, 0.95}}};
  layout.carriages = {{"high", 35, 0, 1}, {"low", 145, 0, 1}};
  layout.heads = {{"1", 0, 30, 90, false}, {"2", 1, 460, 90, false}};
  layout.zones = {{"faceplate", Side::left, -3, 4, 1, 4}, {"faceplate", Side::right, -3, 4, 2, 4}};
  out.chart.name = "toy bands";
  out.chart.sheet_mm = {60, 60};
  out.chart.patches = {{{"cyan"}, {4, 56}, {6, 20}, 1},
                       {{"magenta"}, {4, 56}, {23, 37}, 1},
                       {{"cyan", "yellow"}, {4, 56}, {40, 50}, 1},
                       {{"magenta"}, {4, 10}, {53, 58}, 1}};
  return out;
}

}  // namespace scrapetrace::score::testing
