#include "score/render.h"

#include <algorithm>
#include <cmath>

#include "scan/block_sums.h"
#include "scan/jpeg_pixels.h"
#include "scan/read_page.h"

namespace scrapetrace::score {

namespace {

PageRaster raster_of(const SimulatedScan& image, const std::vector<std::uint8_t>& pixels,
                     const RasterPlace& place) {
  PageRaster page;
  page.width_px = place.width_px;
  page.height_px = place.height_px;
  page.transposed = place.transposed;
  page.tag_dpi_across = page.tag_dpi_along = image.dpi;
  page.rows_per_block = place.rows_per_block;
  scan::BlockSums sums(page, image.channels, image.bits / 8);
  const std::size_t stride = pixels.size() / static_cast<std::size_t>(image.height_px);
  for (std::size_t v = 0; v < static_cast<std::size_t>(image.height_px); ++v)
    sums.add_row(pixels.data() + v * stride);
  return page;
}

}  // namespace

RasterPlace raster_place(const Chart& chart, const Sheet& sheet) {
  const press::ScanGeometry g = press::scan_geometry(chart, sheet.print, sheet.scan);
  RasterPlace out;
  out.transposed = sheet.scan.turn_deg == 90 || sheet.scan.turn_deg == 270;
  out.width_px = g.raw_width_px;
  out.height_px = g.raw_height_px;
  out.rows_per_block =
      std::max(1, static_cast<int>(std::lround(scan::ReadOptions{}.block_mm * sheet.scan.dpi / 25.4)));
  const press::Affine& t = g.scan_from_sheet;
  out.raster_from_sheet = out.transposed ? press::Affine{t.yx, t.yy, t.y0, t.xx, t.xy, t.x0} : t;
  return out;
}

Result<RenderedSheet> render(const Case& drawn, const Causes& causes, const Sheet& sheet) {
  const auto image = simulate_scan(drawn.machine->layout, drawn.chart, causes, sheet.print, sheet.scan);
  if (!image) return image.problems();
  const RasterPlace place = raster_place(drawn.chart, sheet);
  RenderedSheet out;
  if (sheet.jpeg_quality == 0) {
    out.as_scanned = raster_of(*image, image->pixels, place);
    return out;
  }
  const auto lossy =
      scan::through_jpeg({image->width_px, image->height_px, image->channels, image->bits, image->pixels},
                         sheet.jpeg_quality, place.transposed);
  if (!lossy) return lossy.problems();
  out.as_sensed = raster_of(*image, image->pixels, place);
  out.as_scanned = raster_of(*image, lossy->data, place);
  out.as_scanned.pixels.quantisation_sigma = lossy->quantisation_sigma;
  return out;
}

}  // namespace scrapetrace::score
