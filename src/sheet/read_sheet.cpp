#include <utility>

#include "scrapetrace/sheet.h"

namespace scrapetrace {

namespace {

constexpr int kEdgeRounds = 2;  // the second measures edges that lie where they should

struct Sheet {
  const PageSource& source;
  const std::string& name;
  const Layout& layout;
  const Chart& chart;
  const SheetOptions& asked;

  [[nodiscard]] Result<PageRaster> flat_by(const PhotoMap& map, const PageRaster& photo) const {
    scan::FlattenOptions options;
    options.sheet_mm = chart.sheet_mm;
    options.limits = asked.limits;
    auto read = source.flatten(map, options);
    if (!read) return read;
    PageRaster flat = std::move(read).value();
    flat.pixels = photo.pixels;
    return flat;
  }
};

std::string words_for(const PhotoMap& map) {
  if (map.tags > 0) return "is a photo: it was made flat by " + std::to_string(map.tags) + " of its tags";
  return "is a photo without tags: it was made flat by " + std::to_string(map.edges) +
         " points on the edges of its patches";
}

Result<PageRaster> flat_page(const Sheet& sheet, const PhotoMap& map, const PageRaster& photo) {
  auto flat = sheet.flat_by(map, photo);
  if (!flat) return flat;
  PageRaster page = std::move(flat).value();
  page.notes.push_back(words_for(map));
  return page;
}

// An outline alone places a streak to 1.5 mm, on one side of a head or the other: that is no place to send
// anybody to.
Problem too_little_shows(const std::string& name) {
  return {
      name, 0, 0,
      "is a photo without tags that shows too little of the printed edges to be made flat; take the whole "
      "sheet into the picture with a finger's breadth of a darker table on all sides, or scan it, or print a "
      "page with tags (scrapetrace page) and take that"};
}

// A photo without tags made flat; nothing where it is none, or where nothing shows how it lies.
std::optional<Result<PageRaster>> flat_by_edges(const Sheet& sheet, const PageRaster& photo) {
  const auto& corners = sheet.asked.corners;
  auto map = photo_map_by_outline(sheet.layout, sheet.chart, photo, corners);
  for (int round = 0; map && round < kEdgeRounds; ++round) {
    const auto flat = sheet.flat_by(*map, photo);
    if (!flat) {
      if (!is_photo(*map, sheet.chart)) return std::nullopt;  // a scan too large to be flattened is still one
      return flat.problems();
    }
    const auto better =
        photo_map_by_edges(sheet.layout, sheet.chart, photo, *map, *flat, scan::FlattenOptions{}.border_mm);
    if (!better) break;
    map = better;
  }
  if (!map || (!corners && !is_photo(*map, sheet.chart))) return std::nullopt;
  if (map->edges == 0) return too_little_shows(sheet.name);
  return flat_page(sheet, *map, photo);
}

scan::ReadOptions reading_options(const Layout& layout, const Chart* chart, const SheetOptions& asked) {
  scan::ReadOptions options;
  options.dpi = asked.dpi;
  options.lead_edge = asked.lead_edge;
  options.threads = asked.threads;
  options.limits = asked.limits;
  options.drum_width_mm = layout.drum.width_mm;
  if (chart != nullptr) {
    options.sheet_mm = chart->sheet_mm;
    options.overview = !chart->marks.empty();
  }
  return options;
}

class FileSource : public PageSource {
 public:
  explicit FileSource(const std::string& name) : name_(name) {}
  [[nodiscard]] Result<PageRaster> read(const scan::ReadOptions& options) const override {
    return scan::read_page(name_, options);
  }
  [[nodiscard]] Result<PageRaster> flatten(const PhotoMap& map,
                                           const scan::FlattenOptions& options) const override {
    return scan::flatten_page(name_, map, options);
  }

 private:
  const std::string& name_;
};

class PixelSource : public PageSource {
 public:
  explicit PixelSource(const scan::PixelView& view) : view_(view) {}
  [[nodiscard]] Result<PageRaster> read(const scan::ReadOptions& options) const override {
    return scan::raster_from_pixels(view_, options);
  }
  [[nodiscard]] Result<PageRaster> flatten(const PhotoMap& map,
                                           const scan::FlattenOptions& options) const override {
    return scan::flatten_pixels(view_, map, options);
  }

 private:
  const scan::PixelView& view_;
};

}  // namespace

Result<PageRaster> sheet_from(const PageSource& source, const std::string& name, const Layout& layout,
                              const Chart* chart, const SheetOptions& options) {
  auto page = source.read(reading_options(layout, chart, options));
  if (!page || chart == nullptr) return page;
  const Sheet sheet{source, name, layout, *chart, options};
  // A camera states no scale; where a scanner does, its word counts.
  const bool without_scale = page->tag_dpi_across <= 0 && options.dpi <= 0;
  if (const auto map = photo_map(layout, *chart, *page)) {
    page = flat_page(sheet, *map, *page);
  } else if (options.corners || without_scale) {
    if (auto flat = flat_by_edges(sheet, *page)) page = std::move(*flat);
  }
  if (!page || chart->marks.empty()) return page;
  if (auto straight = straighten_page(layout, *chart, *page)) return std::move(*straight);
  return page;
}

Result<PageRaster> read_sheet(const std::string& name, const Layout& layout, const Chart* chart,
                              const SheetOptions& options) {
  return sheet_from(FileSource(name), name, layout, chart, options);
}

Result<PageRaster> sheet_from_pixels(const scan::PixelView& view, const Layout& layout, const Chart* chart,
                                     const SheetOptions& options) {
  return sheet_from(PixelSource(view), view.name, layout, chart, options);
}

}  // namespace scrapetrace
