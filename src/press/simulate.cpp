#include "scrapetrace/simulate.h"

#include <algorithm>
#include <cmath>

#include "press/bands.h"
#include "press/blurred_rows.h"
#include "press/print_marks.h"
#include "press/row_printer.h"
#include "press/scan_from_sheet.h"
#include "press/scan_rows.h"
#include "press/sensor.h"
#include "press/turn.h"
#include "press/validate.h"

namespace scrapetrace {

namespace {

using namespace press;

// Raw scan rows [from, to) as codes.
void scan_band(ScanRows& rows, const Kernel& kernel, const Sensor& sensor, int width_px, int from, int to,
               std::uint8_t* codes) {
  const auto row_bytes = static_cast<std::size_t>(width_px) * static_cast<std::size_t>(sensor.bytes_per_px());
  BlurredRows blurred(rows, kernel, width_px);
  for (int v = from - kernel.radius; v < from + kernel.radius; ++v) blurred.take(v);
  std::vector<float> light;
  for (int v = from; v < to; ++v) {
    blurred.take(v + kernel.radius);
    blurred.blur_down(v, light);
    sensor.encode(v, light.data(), codes + static_cast<std::size_t>(v) * row_bytes);
  }
}

// The sheet interval that the raw image shows, plus the reach of the blur.
struct View {
  double x_from_mm = 0, x_to_mm = 0, y_from_mm = 0, y_to_mm = 0;
};

View view_of(const ScanGeometry& g, double border_px) {
  const Affine sheet_from_paper = g.paper_from_sheet.inverse();
  const Point corner = sheet_from_paper({0, 0});
  const Point opposite = sheet_from_paper({g.paper_width_mm, g.paper_height_mm});
  const double px_mm = std::hypot(g.raw_from_sheet.inverse().xx, g.raw_from_sheet.inverse().yx);
  const double border_mm = (border_px + 2) * px_mm;
  return {corner.x - border_mm, opposite.x + border_mm, corner.y - border_mm, opposite.y + border_mm};
}

// The layout with its carriages shifted.
Layout with_shifts(Layout layout, const std::vector<CarriageShift>& shifts) {
  for (const CarriageShift& shift : shifts) layout.carriages[shift.carriage].offset_mm += shift.offset_mm;
  return layout;
}

}  // namespace

Result<SimulatedScan> simulate_scan(const Layout& layout, const Chart& chart, const Causes& causes,
                                    const PrintOptions& print, const ScanOptions& scan) {
  if (Problems problems = validate(layout, chart, causes, print, scan); !problems.empty()) return problems;
  const Layout machine = with_shifts(layout, causes.shifts);
  const ScanGeometry g = scan_geometry(chart, print, scan);
  const geometry::ColumnMap map(machine);
  const View view = view_of(g, 2);
  const Strips strips = cut_strips(layout, machine, map, view.x_from_mm, view.x_to_mm);
  const double rows_per_mm = layout.raster.process_dpi / 25.4;
  const Chart printed = with_printed_marks(layout, chart);
  const RowPlan plan(machine, printed, causes, print, map, strips,
                     static_cast<int>(std::floor(view.y_from_mm * rows_per_mm)),
                     static_cast<int>(std::ceil(view.y_to_mm * rows_per_mm)));
  const RowPrinter printer(machine, print, print.sheet_seed.value_or(scan.scan_seed), strips, plan,
                           view.y_from_mm, view.y_to_mm);
  const Sensor sensor(scan, causes.lines, g.raw_width_px);
  const Kernel kernel = gaussian_kernel(scan.blur_px);

  SimulatedScan out;
  out.width_px = g.raw_width_px;
  out.height_px = g.raw_height_px;
  out.channels = sensor.channels();
  out.bits = scan.bits;
  out.dpi = scan.dpi;
  out.pixels.resize(static_cast<std::size_t>(out.width_px) * static_cast<std::size_t>(out.height_px) *
                    static_cast<std::size_t>(sensor.bytes_per_px()));
  for_each_band(out.height_px, scan.threads, [&](int from, int to) {
    ScanRows rows(g, machine, strips, printer, scan.bed);
    scan_band(rows, kernel, sensor, out.width_px, from, to, out.pixels.data());
  });
  return mirrored_then_turned(std::move(out), scan.face_mirrored, scan.turn_deg);
}

}  // namespace scrapetrace
