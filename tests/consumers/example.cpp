// docs/library.md shows this program. Its scan comes from memory: here out of the simulator.
#include <fstream>
#include <iostream>
#include <sstream>

#include "scrapetrace/locate.h"
#include "scrapetrace/read_files.h"
#include "scrapetrace/report.h"
#include "scrapetrace/sheet.h"
#include "scrapetrace/simulate.h"

std::string text_of(const std::string& file) {
  std::ostringstream text;
  text << std::ifstream(file).rdbuf();
  return text.str();
}

int main(int, char** argv) {
  const std::string folder = std::string(argv[1]) + "/geometry/";
  const auto layout = scrapetrace::layout::read_layout(text_of(folder + "tavvick.toml"), "tavvick.toml");
  if (!layout) return 2;  // layout.problems() says why: file, line, column, what is allowed
  const auto chart = scrapetrace::layout::read_chart(text_of(folder + "charts/tavvick_bands.toml"),
                                                     "tavvick_bands.toml", &*layout);
  if (!chart) return 2;

  const auto picture = scrapetrace::simulate_scan(*layout, *chart, {}, {}, {});
  if (!picture) return 2;
  scrapetrace::scan::PixelView view;  // the caller's memory: nothing is copied, no file is opened
  view.samples = picture->pixels.data();
  view.width_px = picture->width_px;
  view.height_px = picture->height_px;
  view.dpi = picture->dpi;
  view.name = "tray 2";

  const auto page = scrapetrace::sheet_from_pixels(view, *layout, &*chart);
  const auto result = scrapetrace::locate(*layout, &*chart, {{view.name, page}}, {});
  std::cout << scrapetrace::report::locate_text(*layout, result.findings);
  return result.findings.any_scan_analysed() && result.findings.streaks.empty() ? 0 : 1;
}
