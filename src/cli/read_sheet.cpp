#include "cli/read_sheet.h"

#include "scrapetrace/photo.h"

namespace scrapetrace::cli {

namespace {

Result<PageRaster> flat_page(const sandbox::PageReader& reader, const std::string& file, const Chart& chart,
                             const PhotoMap& map, const PageRaster& photo) {
  scan::FlattenOptions options;
  options.sheet_mm = chart.sheet_mm;
  auto read = reader.flatten_page(file, map, options);
  if (!read) return read;
  PageRaster flat = std::move(read).value();
  flat.pixels = photo.pixels;
  flat.notes.push_back("is a photo: it was made flat by " + std::to_string(map.tags) + " of its tags");
  return flat;
}

}  // namespace

Result<PageRaster> read_sheet(const sandbox::PageReader& reader, const std::string& file,
                              const Layout& layout, const Chart* chart, scan::ReadOptions options) {
  options.overview = chart != nullptr && !chart->marks.empty();
  auto page = reader.read_page(file, options);
  if (!page || !options.overview) return page;
  if (const auto map = photo_map(layout, *chart, *page)) {
    page = flat_page(reader, file, *chart, *map, *page);
    if (!page) return page;
  }
  auto straight = straighten_page(layout, *chart, *page);
  if (!straight) return page;
  straight->notes.emplace_back("is bent across by its scanner or lens: it was straightened by its tags");
  return std::move(*straight);
}

}  // namespace scrapetrace::cli
