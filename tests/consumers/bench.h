#pragma once
// What the programs here share: a machine of the project's, sheets of it from the simulator, and a check.

#include <cstdlib>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>

#include "scrapetrace/layout_description.h"
#include "scrapetrace/locate.h"
#include "scrapetrace/pixels.h"
#include "scrapetrace/read_files.h"
#include "scrapetrace/sheet.h"
#include "scrapetrace/simulate.h"

inline void check(bool holds, const std::string& what) {
  if (holds) return;
  std::cerr << "not so: " << what << '\n';
  std::exit(1);
}

// The value, or the end of the program with the first problem.
template <class T>
T value(scrapetrace::Result<T> result) {
  check(result.ok(), result.ok() ? "" : to_string(result.problems().front()));
  return std::move(result).value();
}

inline std::string text_of(const std::string& file) {
  std::ostringstream text;
  text << std::ifstream(file).rdbuf();
  check(!text.str().empty(), "there is a file " + file);
  return text.str();
}

struct Bench {
  scrapetrace::Layout layout;
  scrapetrace::Chart chart;
};

inline Bench bench(const std::string& source, const std::string& chart) {
  using namespace scrapetrace;
  const std::string file = source + "/geometry/tavvick.toml";
  Bench out{value(layout::read_layout(text_of(file), file)), {}};
  out.chart = value(layout::read_chart(text_of(source + chart), chart, &out.layout));
  return out;
}
inline Bench bench(const std::string& source) {
  return bench(source, "/geometry/charts/tavvick_bands.toml");
}

// Residue left of head 3 as one faces it, its middle 3 mm beside the head's ink.
inline scrapetrace::Causes scraped(const Bench& bench) {
  for (const auto& head : scrapetrace::layout::describe_layout(bench.layout).heads) {
    if (bench.layout.heads[head.head].name != "3") continue;
    scrapetrace::Residue residue;
    residue.carriage = bench.layout.heads[head.head].carriage;
    residue.width_mm = 1.5;
    residue.x_mm = head.drum_mm.from_mm - 3 - residue.width_mm / 2;
    residue.loss = 0.15;
    return {{residue}, {}, {}, {}, {}, {}};
  }
  check(false, "the layout has a head 3");
  return {};
}

inline scrapetrace::SimulatedScan scan_of(const Bench& bench, const scrapetrace::Causes& causes,
                                          std::uint64_t seed) {
  scrapetrace::ScanOptions options;
  options.dpi = 300;
  options.scan_seed = seed;
  return value(scrapetrace::simulate_scan(bench.layout, bench.chart, causes, {}, options));
}

inline scrapetrace::scan::PixelView view_of(const scrapetrace::SimulatedScan& scan) {
  scrapetrace::scan::PixelView view;
  view.samples = scan.pixels.data();
  view.width_px = scan.width_px;
  view.height_px = scan.height_px;
  view.channels = scan.channels;
  view.bits = scan.bits;
  view.dpi = scan.dpi;
  return view;
}

inline scrapetrace::ScanInput page_of(const Bench& bench, const scrapetrace::Causes& causes,
                                      std::uint64_t seed) {
  const auto scan = scan_of(bench, causes, seed);
  return {"scan " + std::to_string(seed),
          scrapetrace::sheet_from_pixels(view_of(scan), bench.layout, &bench.chart)};
}
