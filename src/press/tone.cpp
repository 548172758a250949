#include "press/tone.h"

#include <cmath>

#include "base/srgb.h"

namespace scrapetrace::press {

Transmittance::Transmittance() {
  for (std::size_t i = 0; i < table_.size(); ++i) {
    table_[i] = static_cast<float>(std::pow(10.0, -static_cast<double>(i) / double{kPerDensity}));
  }
}

SrgbCode::SrgbCode() {
  for (std::size_t i = 0; i < table_.size(); ++i) {
    table_[i] = static_cast<float>(srgb_from_linear(static_cast<double>(i) / double{kSteps}));
  }
}

}  // namespace scrapetrace::press
