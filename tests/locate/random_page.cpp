#include "locate/random_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <iterator>
#include <random>
#include <stdexcept>

#include "geometry/frames.h"
#include "geometry/zones.h"
#include "layout/read_layout.h"

namespace scrapetrace::testing {

namespace {

constexpr double kPrintMargin_mm = 1.0;  // a residue's streak ends this far inside the patches, or more
constexpr double kDrumMargin_mm = 30.0;  // other causes keep this far from the drum's ends

// The engine's sequence is the standard's; the standard's distributions are not, so numbers are made here.
class Draw {
 public:
  Draw(std::uint64_t seed, int index) : engine_(seed * 1000003 + static_cast<std::uint64_t>(index)) {}
  double between(double low, double high) {
    return low + (high - low) * static_cast<double>(engine_() >> 11U) * 0x1p-53;
  }
  double log_between(double low, double high) { return std::exp(between(std::log(low), std::log(high))); }
  std::size_t below(std::size_t n) { return engine_() % n; }
  bool chance(double probability) { return between(0, 1) < probability; }

 private:
  std::mt19937_64 engine_;
};

std::string text_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) throw std::runtime_error("cannot read " + path);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

template <class T>
T value_or_throw(Result<T> result) {
  if (!result) throw std::runtime_error(to_string(result.problems().front()));
  return std::move(result).value();
}

const geometry::TargetZone& draw_zone(const std::vector<geometry::TargetZone>& zones, Draw& draw) {
  double left = draw.between(0, 1);  // priors of all zones sum to one
  for (const auto& zone : zones) {
    left -= zone.prior_density * (zone.to_mm - zone.from_mm);
    if (left < 0) return zone;
  }
  return zones.back();
}

// The streak's widest extent lies inside the chart's patches.
bool lies_on_print(const Machine& machine, const Residue& residue) {
  const Layout& layout = machine.layout;
  const geometry::SheetFromDrum sheet_from_drum(layout);
  double low = 0;
  double high = 0;
  for (int k = 0; k < layout.passes(); ++k) {
    const double shift = layout.shift_of(residue.carriage, k) * layout.px_mm();
    low = std::min(low, shift);
    high = std::max(high, shift);
  }
  const double a = sheet_from_drum.sheet_x(residue.x_mm + low);
  const double b = sheet_from_drum.sheet_x(residue.x_mm + residue.width_mm + high);
  double from = machine.chart.sheet_mm[0];
  double to = 0;
  for (const Patch& patch : machine.chart.patches) {
    from = std::min(from, patch.x_mm[0]);
    to = std::max(to, patch.x_mm[1]);
  }
  return std::min(a, b) > from + kPrintMargin_mm && std::max(a, b) < to - kPrintMargin_mm;
}

Residue draw_residue(const Machine& machine, Draw& draw) {
  const Layout& layout = machine.layout;
  const auto zones = geometry::target_zones(layout);
  Residue residue;
  do {
    const auto& where = draw_zone(zones, draw);
    const Zone& zone = layout.zones[where.zone];
    residue.carriage = layout.heads[where.head].carriage;
    residue.width_mm = draw.log_between(0.3, 4);
    residue.x_mm = draw.between(where.from_mm, where.to_mm) - residue.width_mm / 2;
    residue.downstream = draw.chance(0.5);
    residue.loss = draw.between(0.15, 0.9);
    residue.head = layout.heads[where.head].name;
    residue.side = zone.side;
    residue.surface = zone.surface;
  } while (!lies_on_print(machine, residue));
  return residue;
}

void draw_other(const Layout& layout, Draw& draw, Causes& causes) {
  const double last_mm = layout.drum.width_mm - kDrumMargin_mm;
  switch (draw.below(4)) {
    case 0: {
      WeakJet jet;
      jet.head = draw.below(layout.heads.size());
      jet.ink = draw.below(layout.inks.size());
      jet.jet = static_cast<int>(draw.between(0.05, 0.95) * layout.heads[jet.head].jets);
      jet.loss = draw.chance(0.7) ? 1.0 : draw.between(0.3, 0.9);
      causes.jets.push_back(jet);
      break;
    }
    case 1: {
      const double x_mm = draw.between(kDrumMargin_mm, last_mm);
      const double width_mm = draw.between(0.15, 1.5);
      causes.scratches.push_back({x_mm, width_mm, draw.between(0.2, 0.9), {}});
      break;
    }
    case 2: {
      const double x_mm = draw.between(kDrumMargin_mm, last_mm);
      const double width_mm = draw.between(1.5, 12);
      causes.hazes.push_back({x_mm, width_mm, draw.between(0.02, 0.12), {}});
      break;
    }
    default: {
      const double column_fraction = draw.between(0.1, 0.9);
      const double width_px = 1.0 + static_cast<double>(draw.below(2));
      const double gain = draw.chance(0.7) ? draw.between(0.6, 0.95) : draw.between(1.03, 1.12);
      causes.lines.push_back({column_fraction, width_px, gain});
    }
  }
}

void draw_print_and_scan(const std::vector<double>& dpi, Draw& draw, RandomPage& page) {
  page.print.machine_seed = draw.below(1U << 30U);
  page.print.jet_variation = draw.between(0.01, 0.03);
  page.print.mottle = draw.between(0.003, 0.015);
  page.print.grain = draw.between(0.01, 0.05);
  page.print.shift_x_mm = draw.between(-1, 1);
  page.print.shift_y_mm = draw.between(-1, 1);
  page.print.stretch_x = 1 + draw.between(-0.002, 0.002);
  page.print.stretch_y = 1 + draw.between(-0.002, 0.002);
  page.scan.scan_seed = draw.below(1U << 30U);
  page.scan.dpi = dpi[draw.below(dpi.size())];
  page.scan.skew_deg = draw.between(-1, 1);
  page.scan.blur_px = draw.between(0.6, 1.1);
  page.scan.noise = draw.between(0.8, 2.5);
  page.scan.threads = 1;
}

std::string describe_others(const Causes& causes, const Layout& layout) {
  std::string out;
  for (const auto& j : causes.jets) {
    out += fmt::format("; jet {} of head {} in {} loses {:.2f}", j.jet, layout.heads[j.head].name,
                       layout.inks[j.ink].name, j.loss);
  }
  for (const auto& s : causes.scratches) {
    out += fmt::format("; scratch at {:.2f} mm, {:.2f} mm wide, loss {:.2f}", s.x_mm, s.width_mm, s.loss);
  }
  for (const auto& h : causes.hazes) {
    out += fmt::format("; haze at {:.2f} mm, {:.2f} mm wide, density {:.3f}", h.x_mm, h.width_mm, h.density);
  }
  for (const auto& l : causes.lines) {
    out += fmt::format("; scanner line at {:.3f}, {:.0f} px, gain {:.2f}", l.column_fraction, l.width_px,
                       l.gain);
  }
  return out;
}

}  // namespace

std::vector<Machine> shipped_machines(const std::string& source_dir) {
  std::vector<Machine> machines;
  for (const char* name : {"quennip", "tavvick", "hobdrel"}) {
    const std::string layout_file = fmt::format("{}/geometry/{}.toml", source_dir, name);
    const std::string chart_file = fmt::format("{}/geometry/charts/{}_bands.toml", source_dir, name);
    Machine machine;
    machine.name = name;
    machine.layout = value_or_throw(layout::read_layout(text_of(layout_file), layout_file));
    machine.chart = value_or_throw(layout::read_chart(text_of(chart_file), chart_file, &machine.layout));
    machines.push_back(std::move(machine));
  }
  return machines;
}

RandomPage draw_page(const std::vector<Machine>& machines, int index, const RandomPageOptions& options) {
  Draw draw(options.seed, index);
  RandomPage page;
  page.machine = &machines[static_cast<std::size_t>(index) % machines.size()];
  draw_print_and_scan(options.dpi, draw, page);
  if (!options.clean) page.causes.residues.push_back(draw_residue(*page.machine, draw));
  const std::size_t others = options.clean ? 1 + draw.below(2) : draw.below(3);
  for (std::size_t k = 0; k < others; ++k) draw_other(page.machine->layout, draw, page.causes);
  return page;
}

std::string describe(const RandomPage& page) {
  std::string out = fmt::format("{}, {} dpi, skew {:.2f}, jets {:.1f} %", page.machine->name, page.scan.dpi,
                                page.scan.skew_deg, 100 * page.print.jet_variation);
  if (const Residue* r = page.residue()) {
    out += fmt::format("; residue on head {} {} {} (carriage {}), {:.3f} mm, {:.2f} mm wide, loss {:.2f}, {}",
                       r->head, to_string(*r->side), r->surface,
                       page.machine->layout.carriages[r->carriage].name, r->x_mm, r->width_mm, r->loss,
                       r->downstream ? "downstream" : "upstream");
  }
  return out + describe_others(page.causes, page.machine->layout);
}

}  // namespace scrapetrace::testing
