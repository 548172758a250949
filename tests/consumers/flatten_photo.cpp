// A photo in memory is taken for one, made flat, and leads to the head that a scan leads to.
#include "bench.h"

int main(int, char** argv) {
  Bench tagged = bench(argv[1]);
  int id = 20;  // tags along both edges, where the chart prints nothing
  const auto [width_mm, length_mm] = tagged.chart.sheet_mm;
  for (const double y_mm : {4.5, length_mm - 6}) {
    for (const double part : {0.06, 0.28, 0.5, 0.72, 0.94})
      tagged.chart.marks.push_back({"tag", id++, {part * width_mm, y_mm}, 5});
  }
  scrapetrace::CameraOptions camera;
  camera.tilt_deg = 12;
  camera.width_px = 2100;
  camera.height_px = 2800;
  const auto photo =
      value(scrapetrace::simulate_photo(tagged.layout, tagged.chart, scraped(tagged), {}, {}, camera));
  auto view = view_of(photo);
  view.dpi = 0;  // a camera states none
  const auto page = value(scrapetrace::sheet_from_pixels(view, tagged.layout, &tagged.chart));
  check(page.flattening_sigma_mm > 0, "the picture is taken for a photo");
  check(page.notes.back().find("of its tags") != std::string::npos, "and its notes say so");
  const auto found = scrapetrace::locate(tagged.layout, &tagged.chart, {{"photo", page}}, {}).findings;
  check(!found.targets.empty() && found.targets.front().head == "3", "head 3 is to be cleaned");
}
