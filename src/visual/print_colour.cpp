#include "visual/print_colour.h"

#include <array>
#include <cmath>

namespace scrapetrace::visual {

Lab colour_of(const Layout& layout, const Print& print, const std::vector<double>& kept, double added) {
  std::array<double, 3> rgb{};
  for (std::size_t channel = 0; channel < 3; ++channel) {
    double density = 0;
    for (std::size_t i = 0; i < print.inks.size(); ++i)
      density += kept[i] * layout.inks[print.inks[i]].solid_density_rgb[channel];
    rgb[channel] = (1 - print.coverage + print.coverage * std::pow(10, -density)) * std::pow(10, -added);
  }
  return lab_from_linear(rgb);
}

}  // namespace scrapetrace::visual
