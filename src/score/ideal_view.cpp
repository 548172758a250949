#include "score/ideal_view.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/frames.h"
#include "press/kept_ink.h"
#include "score/render.h"

namespace scrapetrace::score {

namespace {

constexpr double kMargin_mm = 1.5;   // print seen beside a streak
constexpr double kSpreads = 5;       // point spreads from a patch's sides, and under a sample
constexpr double kLineMargin_px = 1.0;

double sigma_mm(const Sheet& sheet, double pitch_mm) {
  return std::hypot(sheet.scan.blur_px, std::sqrt(1.0 / 12)) * pitch_mm;
}

bool overlap(const std::array<double, 2>& a, const std::array<double, 2>& b) {
  return a[0] < b[1] && b[0] < a[1];
}

bool stands_alone(const Chart& chart, std::size_t p) {
  for (std::size_t q = 0; q < chart.patches.size(); ++q) {
    if (q != p && overlap(chart.patches[p].x_mm, chart.patches[q].x_mm) &&
        overlap(chart.patches[p].y_mm, chart.patches[q].y_mm))
      return false;
  }
  return true;
}

std::vector<std::size_t> inks_of(const Layout& layout, const Patch& patch) {
  std::vector<std::size_t> inks;
  for (std::size_t i = 0; i < layout.inks.size(); ++i) {
    if (std::find(patch.inks.begin(), patch.inks.end(), layout.inks[i].name) != patch.inks.end())
      inks.push_back(i);
  }
  return inks;
}

// Fraction of its ink that every column keeps under all causes but the residue, and each ink's own share of
// it under weak jets.
struct OtherCauses {
  std::vector<double> kept;                // [column]
  std::vector<std::vector<double>> laid;   // [ink][column]
};

OtherCauses other_causes(const Layout& layout, const geometry::ColumnMap& map, const Causes& causes) {
  OtherCauses out;
  out.kept.assign(static_cast<std::size_t>(map.columns()), 1.0);
  for (const auto& s : causes.scratches) press::scratch(layout, map, s, out.kept);
  PrintOptions even;
  even.jet_variation = 0;
  for (std::size_t i = 0; i < layout.inks.size(); ++i)
    out.laid.push_back(press::laid_ink(layout, map, causes.jets, even, i));
  return out;
}

class ViewMaker {
 public:
  ViewMaker(const Case& drawn, const Sheet& sheet, Interval window_mm)
      : drawn_(drawn),
        layout_(drawn.machine->layout),
        sheet_(sheet),
        window_(window_mm),
        map_(layout_),
        sheet_from_drum_(layout_),
        pitch_mm_(25.4 / sheet.scan.dpi / sheet.print.stretch_x / std::abs(sheet_from_drum_.scale)),
        sigma_mm_(sigma_mm(sheet, pitch_mm_)),
        others_(other_causes(layout_, map_, drawn.causes)) {}

  // Empty samples: the patch shows nothing of the window.
  [[nodiscard]] PatchView patch(std::size_t p, const PageRaster* raster) const {
    const Patch& patch = drawn_.chart.patches[p];
    PatchView out;
    out.inks = inks_of(layout_, patch);
    const double a = sheet_from_drum_.drum_x(patch.x_mm[0]);
    const double b = sheet_from_drum_.drum_x(patch.x_mm[1]);
    const double inset = kSpreads * sigma_mm_ + layout_.px_mm();
    const Interval seen{std::max(window_.from_mm, std::min(a, b) + inset),
                        std::min(window_.to_mm, std::max(a, b) - inset)};
    if (seen.to_mm - seen.from_mm < pitch_mm_) return out;
    bin_pixels(patch, seen, raster, out);
    make_strips(seen, out);
    for (Sample& s : out.samples) blend(out.strips, s);
    return out;
  }

 private:
  void bin_pixels(const Patch& patch, Interval seen, const PageRaster* raster, PatchView& out) const;
  void make_strips(Interval seen, PatchView& out) const;
  [[nodiscard]] Layer layer(const press::Strips::Lay& lay, const std::vector<std::size_t>& inks) const;
  static void blend(const std::vector<ViewStrip>& strips, Sample& sample);

  const Case& drawn_;
  const Layout& layout_;
  const Sheet& sheet_;
  Interval window_;
  geometry::ColumnMap map_;
  geometry::SheetFromDrum sheet_from_drum_;
  double pitch_mm_;
  double sigma_mm_;
  OtherCauses others_;
};

// Pixels of the raw scan that a scanner line dims tell an ideal reader nothing it would miss.
bool on_scanner_line(const std::vector<ScannerLine>& lines, double raw_u, double raw_width) {
  return std::any_of(lines.begin(), lines.end(), [&](const ScannerLine& line) {
    return std::abs(raw_u - line.column_fraction * raw_width) < 0.5 * line.width_px + kLineMargin_px;
  });
}

void ViewMaker::bin_pixels(const Patch& patch, Interval seen, const PageRaster* raster, PatchView& out) const {
  const RasterPlace place = raster_place(drawn_.chart, sheet_);
  const press::Affine sheet_from_raster = place.raster_from_sheet.inverse();
  const press::ScanGeometry g = press::scan_geometry(drawn_.chart, sheet_.print, sheet_.scan);
  const double px_mm = 25.4 / sheet_.scan.dpi;
  const double inset_mm = (0.5 * place.rows_per_block + 4 * sheet_.scan.blur_px + 2) * px_mm + 25.4 / 300;
  const double from_y = patch.y_mm[0] + inset_mm;
  const double to_y = patch.y_mm[1] - inset_mm;
  const auto bins = static_cast<std::size_t>(std::ceil((seen.to_mm - seen.from_mm) / pitch_mm_));
  std::vector<Sample> sums(bins);
  std::vector<double> squares(bins, 0.0);
  const double corner_a = sheet_from_drum_.sheet_x(seen.from_mm);
  const double corner_b = sheet_from_drum_.sheet_x(seen.to_mm);
  double first_y = to_y;
  double last_y = from_y;
  for (int block = 0; block * place.rows_per_block < place.height_px; ++block) {
    const int rows = std::min(place.rows_per_block, place.height_px - block * place.rows_per_block);
    const double v = block * place.rows_per_block + 0.5 * rows;
    const double any_y = 0.5 * (from_y + to_y);
    const double u_a = place.raster_from_sheet({corner_a, any_y}).x;
    const double u_b = place.raster_from_sheet({corner_b, any_y}).x;
    const double reach = 2 + std::abs(place.raster_from_sheet.xy) * (to_y - from_y);
    const int u_from = std::max(0, static_cast<int>(std::floor(std::min(u_a, u_b) - reach)));
    const int u_to = std::min(place.width_px, static_cast<int>(std::ceil(std::max(u_a, u_b) + reach)));
    for (int u = u_from; u < u_to; ++u) {
      const press::Point at = sheet_from_raster({u + 0.5, v});
      if (at.y < from_y || at.y > to_y) continue;
      const double x_mm = sheet_from_drum_.drum_x(at.x);
      if (x_mm < seen.from_mm || x_mm >= seen.to_mm) continue;
      if (on_scanner_line(drawn_.causes.lines, g.raw_from_sheet(at).x, g.raw_width_px)) continue;
      const auto bin = std::min(bins - 1, static_cast<std::size_t>((x_mm - seen.from_mm) / pitch_mm_));
      Sample& s = sums[bin];
      s.rows += rows;
      s.x_mm += rows * x_mm;
      squares[bin] += rows * x_mm * x_mm;
      for (int c = 0; raster != nullptr && c < 3; ++c)
        s.value[static_cast<std::size_t>(c)] += rows * static_cast<double>(raster->row(block, c)[u]) / 65535;
      first_y = std::min(first_y, at.y);
      last_y = std::max(last_y, at.y);
    }
  }
  out.length_mm = std::max(0.0, last_y - first_y) + place.rows_per_block * px_mm;
  out.raster_rows = out.length_mm * layout_.raster.process_dpi / 25.4;
  const double slope_mm = place.rows_per_block * px_mm * std::tan(sheet_.scan.skew_deg * M_PI / 180);
  for (std::size_t i = 0; i < bins; ++i) {
    Sample& s = sums[i];
    if (s.rows <= 0) continue;
    s.x_mm /= s.rows;
    const double spread = std::max(0.0, squares[i] / s.rows - s.x_mm * s.x_mm);
    s.variance = sigma_mm_ * sigma_mm_ + spread + slope_mm * slope_mm / 12;
    for (double& value : s.value) value /= s.rows;
    out.samples.push_back(s);
  }
}

Layer ViewMaker::layer(const press::Strips::Lay& lay, const std::vector<std::size_t>& inks) const {
  const PrintOptions& print = sheet_.print;
  const double variance = print.grain * print.grain + print.mottle * print.mottle +
                          print.jet_variation * print.jet_variation;
  Layer out;
  out.column = lay.column;
  out.owner = map_.owner(lay.column);
  const auto column = static_cast<std::size_t>(lay.column);
  for (const std::size_t i : inks) {
    auto& part = out.inks.emplace_back();
    const double amount = others_.laid[i][column] * others_.kept[column];
    for (std::size_t c = 0; c < 3; ++c) {
      part[c] = std::numbers::ln10 * layout_.inks[i].solid_density_rgb[c] * amount;
      out.density[c] += part[c];
      out.spread[c] += 0.5 * part[c] * part[c] * variance;
    }
  }
  return out;
}

void ViewMaker::make_strips(Interval seen, PatchView& out) const {
  const double reach = kSpreads * sigma_mm_ + 2 * layout_.px_mm();
  const Interval all{seen.from_mm - reach, seen.to_mm + reach};
  const double a = sheet_from_drum_.sheet_x(all.from_mm);
  const double b = sheet_from_drum_.sheet_x(all.to_mm);
  const press::Strips strips = press::cut_strips(layout_, map_, std::min(a, b), std::max(a, b));
  std::vector<std::pair<std::size_t, std::size_t>> place;  // strip of `strips`, index in `out.strips`
  for (int s = 0; s < strips.count(); ++s) {
    const auto i = static_cast<std::size_t>(s);
    const double p = sheet_from_drum_.drum_x(strips.edges_mm[i]);
    const double q = sheet_from_drum_.drum_x(strips.edges_mm[i + 1]);
    ViewStrip strip;
    strip.from_mm = std::min(p, q);
    strip.to_mm = std::max(p, q);
    if (strip.to_mm < all.from_mm || strip.from_mm > all.to_mm) continue;
    double haze = 0;
    for (const auto& h : drawn_.causes.hazes)
      haze += press::haze_density(h, 0.5 * (strip.from_mm + strip.to_mm));
    strip.light.fill(sheet_.print.paper_white * std::pow(10.0, -haze));
    for (const auto& lay : strips.lays) {
      if (lay.strip == s) strip.layers.push_back(layer(lay, out.inks));
    }
    out.strips.push_back(std::move(strip));
  }
  std::sort(out.strips.begin(), out.strips.end(),
            [](const ViewStrip& x, const ViewStrip& y) { return x.from_mm < y.from_mm; });
}

void ViewMaker::blend(const std::vector<ViewStrip>& strips, Sample& sample) {
  const double scale = 1 / std::sqrt(2 * sample.variance);
  const double reach = kSpreads * std::sqrt(sample.variance);
  double sum = 0;
  for (std::size_t i = 0; i < strips.size(); ++i) {
    if (strips[i].to_mm < sample.x_mm - reach || strips[i].from_mm > sample.x_mm + reach) continue;
    if (sample.weight.empty()) sample.first_strip = i;
    sample.weight.push_back(0.5 * (std::erf((strips[i].to_mm - sample.x_mm) * scale) -
                                   std::erf((strips[i].from_mm - sample.x_mm) * scale)));
    sum += sample.weight.back();
  }
  for (double& w : sample.weight) w /= sum;
}

}  // namespace

IdealView make_ideal_view(const Case& drawn, const Sheet& sheet, Interval window_mm,
                          const PageRaster* raster) {
  IdealView out;
  out.layout = &drawn.machine->layout;
  out.print = sheet.print;
  out.scan = sheet.scan;
  out.window_mm = window_mm;
  const ViewMaker maker(drawn, sheet, window_mm);
  for (std::size_t p = 0; p < drawn.chart.patches.size(); ++p) {
    if (drawn.chart.patches[p].coverage < 1 || !stands_alone(drawn.chart, p)) continue;
    PatchView patch = maker.patch(p, raster);
    if (patch.samples.size() > 1) out.patches.push_back(std::move(patch));
  }
  return out;
}

Interval ideal_window(const Case& drawn) {
  const Layout& layout = drawn.machine->layout;
  const Interval touched = touched_drum(layout, *drawn.residue());
  const Interval printed = printed_drum(layout, drawn.chart);
  return {std::max(printed.from_mm, touched.from_mm - kMargin_mm),
          std::min(printed.to_mm, touched.to_mm + kMargin_mm)};
}

}  // namespace scrapetrace::score
