#include "score/true_contrast.h"

#include <algorithm>
#include <cmath>

#include "geometry/column_map.h"
#include "geometry/contact.h"
#include "geometry/frames.h"
#include "visual/contrast.h"

namespace scrapetrace::score {

namespace {

std::size_t ink_named(const Layout& layout, const std::string& name) {
  return static_cast<std::size_t>(
      std::find_if(layout.inks.begin(), layout.inks.end(), [&](const Ink& ink) { return ink.name == name; }) -
      layout.inks.begin());
}

}  // namespace

double true_contrast(const Case& drawn) {
  const Residue* residue = drawn.residue();
  if (residue == nullptr) return 0;
  const Layout& layout = drawn.machine->layout;
  const geometry::ColumnMap columns(layout);
  const auto touches = geometry::count_touches(
      layout, columns, {residue->carriage, residue->downstream, residue->x_mm, residue->width_mm});
  const geometry::SheetFromDrum sheet_from_drum(layout);
  double most = 0;
  for (const Patch& patch : drawn.chart.patches) {
    visual::Print print{{}, patch.coverage};
    for (const std::string& ink : patch.inks) print.inks.push_back(ink_named(layout, ink));
    visual::Profile profile;
    profile.pitch_mm = layout.px_mm() * layout.transfer.scale_cross;
    for (std::size_t i = 0; i < touches.n.size(); ++i) {
      const double x_mm =
          sheet_from_drum.sheet_x((touches.first + static_cast<double>(i) + 0.5) * layout.px_mm());
      const bool printed = x_mm >= patch.x_mm[0] && x_mm < patch.x_mm[1];
      profile.loss.push_back(printed ? 1 - std::pow(1 - residue->loss, touches.n[i]) : 0);
    }
    most = std::max(most, visual::contrast_of(layout, {print}, profile));
  }
  return most;
}

}  // namespace scrapetrace::score
