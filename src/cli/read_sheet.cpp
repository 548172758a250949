#include "cli/read_sheet.h"

#include "scan/flatten_page.h"
#include "scrapetrace/photo.h"

namespace scrapetrace::cli {

Result<PageRaster> read_sheet(const std::string& file, const Layout& layout, const Chart* chart,
                              scan::ReadOptions options) {
  const bool tagged = chart != nullptr && !chart->marks.empty();
  options.overview = tagged;
  auto page = scan::read_page(file, options);
  if (!page || !tagged) return page;
  const auto map = photo_map(layout, *chart, *page);
  if (!map) return page;
  scan::FlattenOptions flatten;
  flatten.sheet_mm = chart->sheet_mm;
  auto flat = scan::flatten_page(file, *map, flatten);
  if (!flat) return flat;
  PageRaster out = std::move(flat).value();
  out.pixels = page->pixels;
  out.notes.push_back("is a photo: it was made flat by " + std::to_string(map->tags) + " of its tags");
  return out;
}

}  // namespace scrapetrace::cli
