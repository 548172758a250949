#include "score/ideal_view.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/frames.h"
#include "press/kept_ink.h"
#include "score/point_spread.h"
#include "score/render.h"

namespace scrapetrace::score {

namespace {

constexpr double kMargin_mm = 1.5;  // print seen beside a streak
constexpr double kLineMargin_px = 1.0;

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
  std::vector<double> kept;               // [column]
  std::vector<std::vector<double>> laid;  // [ink][column]
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
        place_(raster_place(drawn.chart, sheet)),
        spread_(sheet.scan.blur_px, pitch_mm_, place_.rows_per_block,
                std::tan(sheet.scan.skew_deg * M_PI / 180)),
        others_(other_causes(layout_, map_, drawn.causes)) {}

  // Empty samples: the patch shows nothing of the window.
  [[nodiscard]] PatchView patch(std::size_t p, const PageRaster* raster) const {
    const Patch& patch = drawn_.chart.patches[p];
    PatchView out;
    out.inks = inks_of(layout_, patch);
    const double a = sheet_from_drum_.drum_x(patch.x_mm[0]);
    const double b = sheet_from_drum_.drum_x(patch.x_mm[1]);
    const double inset = spread_.reach_mm() + layout_.px_mm();
    const Interval seen{std::max(window_.from_mm, std::min(a, b) + inset),
                        std::min(window_.to_mm, std::max(a, b) - inset)};
    if (seen.to_mm - seen.from_mm < pitch_mm_) return out;
    make_strips(seen, out);
    bin_pixels(patch, seen, raster, out);
    return out;
  }

 private:
  void bin_pixels(const Patch& patch, Interval seen, const PageRaster* raster, PatchView& out) const;
  void make_strips(Interval seen, PatchView& out) const;
  [[nodiscard]] Layer layer(const press::Strips::Lay& lay, const std::vector<std::size_t>& inks) const;
  void see(const std::vector<ViewStrip>& strips, double x_mm, double rows, Sample& sample) const;

  const Case& drawn_;
  const Layout& layout_;
  const Sheet& sheet_;
  Interval window_;
  geometry::ColumnMap map_;
  geometry::SheetFromDrum sheet_from_drum_;
  double pitch_mm_;
  RasterPlace place_;
  PointSpread spread_;
  OtherCauses others_;
};

// Pixels under a scanner line are left out.
bool on_scanner_line(const std::vector<ScannerLine>& lines, double raw_u, double raw_width) {
  return std::any_of(lines.begin(), lines.end(), [&](const ScannerLine& line) {
    return std::abs(raw_u - line.column_fraction * raw_width) < 0.5 * line.width_px + kLineMargin_px;
  });
}

// One more pixel of a sample: what it sees of each strip.
void ViewMaker::see(const std::vector<ViewStrip>& strips, double x_mm, double rows, Sample& sample) const {
  const double reach = spread_.reach_mm();
  const auto first = std::partition_point(
      strips.begin(), strips.end(), [&](const ViewStrip& strip) { return strip.to_mm <= x_mm - reach; });
  auto i = static_cast<std::size_t>(first - strips.begin());
  if (sample.weight.empty()) sample.first_strip = i;
  if (i < sample.first_strip) {  // pixels come in the order of rows, not of places
    sample.weight.insert(sample.weight.begin(), sample.first_strip - i, 0.0);
    sample.first_strip = i;
  }
  double left = i < strips.size() ? spread_.left_of(strips[i].from_mm - x_mm) : 1;
  for (; i < strips.size() && strips[i].from_mm < x_mm + reach; ++i) {
    const double right = spread_.left_of(strips[i].to_mm - x_mm);
    if (sample.weight.size() <= i - sample.first_strip) sample.weight.resize(i - sample.first_strip + 1, 0.0);
    sample.weight[i - sample.first_strip] += rows * (right - left);
    left = right;
  }
}

// Every sample takes the nearest pixel of every row that crosses the patch.
void ViewMaker::bin_pixels(const Patch& patch, Interval seen, const PageRaster* raster,
                           PatchView& out) const {
  const press::Affine sheet_from_raster = place_.raster_from_sheet.inverse();
  const press::ScanGeometry g = press::scan_geometry(drawn_.chart, sheet_.print, sheet_.scan);
  const double px_mm = 25.4 / sheet_.scan.dpi;
  const double slant_mm = (seen.to_mm - seen.from_mm) * std::abs(std::tan(sheet_.scan.skew_deg * M_PI / 180));
  const double inset_mm = (0.5 * place_.rows_per_block + 4 * sheet_.scan.blur_px + 2) * px_mm +
                          25.4 / layout_.raster.process_dpi + slant_mm;
  const Interval rows_mm{patch.y_mm[0] + inset_mm, patch.y_mm[1] - inset_mm};
  std::vector<Sample> samples(static_cast<std::size_t>((seen.to_mm - seen.from_mm) / pitch_mm_));
  const bool ahead = sheet_from_drum_.scale * sheet_from_raster.xx > 0;  // drum X grows with u
  const double first_x = sheet_from_drum_.sheet_x(seen.from_mm + 0.5 * pitch_mm_);
  int total_rows = 0;
  for (int block = 0; block * place_.rows_per_block < place_.height_px; ++block) {
    const int rows = std::min(place_.rows_per_block, place_.height_px - block * place_.rows_per_block);
    const double v = block * place_.rows_per_block + 0.5 * rows;
    // u of the first sample's place in this row: sheet x = xx * u + xy * v + x0.
    const double u_first =
        (first_x - sheet_from_raster.xy * v - sheet_from_raster.x0) / sheet_from_raster.xx - 0.5;
    const double y_mm = sheet_from_raster({u_first, v}).y;
    if (y_mm < rows_mm.from_mm || y_mm > rows_mm.to_mm) continue;
    total_rows += rows;
    for (std::size_t i = 0; i < samples.size(); ++i) {
      const int u = static_cast<int>(std::lround(u_first)) + (ahead ? 1 : -1) * static_cast<int>(i);
      const press::Point at = sheet_from_raster({u + 0.5, v});
      if (u < 0 || u >= place_.width_px) continue;
      if (on_scanner_line(drawn_.causes.lines, g.raw_from_sheet(at).x, g.raw_width_px)) continue;
      Sample& s = samples[i];
      const double x_mm = sheet_from_drum_.drum_x(at.x);
      s.rows += rows;
      s.x_mm += rows * x_mm;
      see(out.strips, x_mm, rows, s);
      for (std::size_t c = 0; raster != nullptr && c < 3; ++c)
        s.value[c] += rows * static_cast<double>(raster->row(block, static_cast<int>(c))[u]) / 65535;
    }
  }
  out.length_mm = total_rows * px_mm;
  out.raster_rows = out.length_mm * layout_.raster.process_dpi / 25.4;
  for (Sample& s : samples) {
    if (s.rows < 0.5 * total_rows || s.rows <= 0) continue;  // hidden under a scanner line, mostly
    s.x_mm /= s.rows;
    for (double& value : s.value) value /= s.rows;
    for (double& weight : s.weight) weight /= s.rows;
    out.samples.push_back(std::move(s));
  }
}

Layer ViewMaker::layer(const press::Strips::Lay& lay, const std::vector<std::size_t>& inks) const {
  const PrintOptions& print = sheet_.print;
  const double variance = print.grain * print.grain + print.mottle * print.mottle;
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
  const double reach = spread_.reach_mm() + 2 * layout_.px_mm();
  const Interval all{seen.from_mm - reach, seen.to_mm + reach};
  const double a = sheet_from_drum_.sheet_x(all.from_mm);
  const double b = sheet_from_drum_.sheet_x(all.to_mm);
  const press::Strips strips = press::cut_strips(layout_, layout_, map_, std::min(a, b), std::max(a, b));
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

IdealView with_volumes(IdealView view, const JetVolumes& volumes) {
  view.volumes = volumes;
  for (PatchView& patch : view.patches) {
    for (ViewStrip& strip : patch.strips) {
      for (Layer& layer : strip.layers) {
        const auto before = layer.density;
        layer.density = {};
        for (std::size_t i = 0; i < patch.inks.size(); ++i) {
          const auto jet = volumes.find({layer.owner.head, layer.owner.jet, patch.inks[i]});
          for (std::size_t c = 0; c < 3; ++c) {
            if (jet != volumes.end()) layer.inks[i][c] *= jet->second;
            layer.density[c] += layer.inks[i][c];
          }
        }
        for (std::size_t c = 0; c < 3; ++c) {
          const double change = before[c] > 0 ? layer.density[c] / before[c] : 1;
          layer.spread[c] *= change * change;
        }
      }
    }
  }
  return view;
}

Interval ideal_window(const Case& drawn) {
  const Layout& layout = drawn.machine->layout;
  const Interval touched = touched_drum(layout, *drawn.residue());
  const Interval printed = printed_drum(layout, drawn.chart);
  return {std::max(printed.from_mm, touched.from_mm - kMargin_mm),
          std::min(printed.to_mm, touched.to_mm + kMargin_mm)};
}

}  // namespace scrapetrace::score
