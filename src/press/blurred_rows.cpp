#include "press/blurred_rows.h"

#include <algorithm>

namespace scrapetrace::press {

BlurredRows::BlurredRows(ScanRows& rows, const Kernel& kernel, int width_px)
    : rows_(rows),
      kernel_(kernel),
      width_px_(width_px),
      floats_(static_cast<std::size_t>(width_px) * 3),
      left_(floats_ + static_cast<std::size_t>(6 * kernel.radius)),
      right_(left_.size()),
      ring_(floats_ * kernel.down.size()) {}

void BlurredRows::take(int v) {
  rows_.take(v, -kernel_.radius, width_px_ + 2 * kernel_.radius, left_.data(), right_.data());
  float* out = ring_.data() + slot(v) * floats_;
  std::fill(out, out + floats_, 0.0F);
  for (std::size_t k = 0; k < kernel_.left.size(); ++k) {
    add_scaled(kernel_.left[k], left_.data() + 3 * k, floats_, out);
    add_scaled(kernel_.right[k], right_.data() + 3 * k, floats_, out);
  }
}

void BlurredRows::blur_down(int v, std::vector<float>& out) const {
  out.assign(floats_, 0.0F);
  for (int k = -kernel_.radius; k <= kernel_.radius; ++k) {
    add_scaled(kernel_.down[static_cast<std::size_t>(k + kernel_.radius)], row(v + k), floats_, out.data());
  }
}

}  // namespace scrapetrace::press
