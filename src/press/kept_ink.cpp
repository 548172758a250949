#include "press/kept_ink.h"

#include <algorithm>
#include <cmath>

#include "geometry/contact.h"
#include "geometry/frames.h"
#include "press/random.h"

namespace scrapetrace::press {

std::vector<double> laid_ink(const Layout& layout, const geometry::ColumnMap& map,
                             const std::vector<WeakJet>& jets, const PrintOptions& print, std::size_t ink) {
  std::vector<std::vector<double>> of_jet;
  for (std::size_t h = 0; h < layout.heads.size(); ++h) {
    const std::uint64_t volumes = key(print.machine_seed, Stream::jet_volume, h, ink);
    auto& volume = of_jet.emplace_back(static_cast<std::size_t>(layout.heads[h].jets), 1.0);
    if (print.jet_variation <= 0) continue;
    for (std::size_t j = 0; j < volume.size(); ++j) {
      volume[j] = std::max(0.0, 1 + print.jet_variation * normal_from(mix(volumes + j)));
    }
  }
  for (const WeakJet& weak : jets) {
    if (weak.ink == ink) of_jet[weak.head][static_cast<std::size_t>(weak.jet)] *= 1 - weak.loss;
  }
  std::vector<double> laid(static_cast<std::size_t>(map.columns()), 0.0);
  for (int c = 0; c < map.columns(); ++c) {
    const auto owner = map.owner(c);
    if (owner.nobody()) continue;
    laid[static_cast<std::size_t>(c)] =
        of_jet[static_cast<std::size_t>(owner.head)][static_cast<std::size_t>(owner.jet)];
  }
  return laid;
}

void scrape(const Layout& layout, const geometry::ColumnMap& map, const Residue& residue,
            std::vector<double>& kept) {
  const auto touches = geometry::count_touches(
      layout, map, {residue.carriage, residue.downstream, residue.x_mm, residue.width_mm});
  for (std::size_t i = 0; i < touches.n.size(); ++i) {
    kept[static_cast<std::size_t>(touches.first) + i] *= std::pow(1 - residue.loss, touches.n[i]);
  }
}

void scratch(const Layout& layout, const geometry::ColumnMap& map, const DrumScratch& cause,
             std::vector<double>& kept) {
  for (int c = 0; c < map.columns(); ++c) {
    const auto owner = map.owner(c);
    if (owner.nobody()) continue;
    const std::size_t carriage = layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double x = geometry::drum_x_of_column(layout, c, carriage);
    if (x >= cause.x_mm && x < cause.x_mm + cause.width_mm)
      kept[static_cast<std::size_t>(c)] *= 1 - cause.loss;
  }
}

double haze_density(const BladeHaze& haze, double x_drum_mm) {
  const double t = (x_drum_mm - haze.x_mm) / haze.width_mm;
  return haze.density * std::exp(-4 * M_LN2 * t * t);
}

}  // namespace scrapetrace::press
