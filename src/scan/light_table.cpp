#include "scan/light_table.h"

#include <cmath>

#include "base/srgb.h"

namespace scrapetrace::scan {

std::vector<std::uint16_t> light_table(int bytes_per_sample) {
  std::vector<std::uint16_t> light(bytes_per_sample == 1 ? 256 : 65536);
  for (std::size_t i = 0; i < light.size(); ++i) {
    const double code = static_cast<double>(i) / static_cast<double>(light.size() - 1);
    light[i] = static_cast<std::uint16_t>(std::lround(65535.0 * linear_from_srgb(code)));
  }
  return light;
}

}  // namespace scrapetrace::scan
