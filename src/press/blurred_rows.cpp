#include "press/blurred_rows.h"

namespace scrapetrace::press {

BlurredRows::BlurredRows(ScanRows& rows, const Kernel& kernel, int width_px)
    : rows_(rows),
      kernel_(kernel),
      width_px_(width_px),
      floats_(static_cast<std::size_t>(width_px) * 3),
      left_(floats_ + static_cast<std::size_t>(6 * kernel.radius)),
      right_(left_.size()),
      ring_(floats_ * kernel.down.size()) {
  for (std::size_t k = 0; k < kernel.left.size(); ++k) {
    halves_.insert(halves_.end(), {kernel.left[k], kernel.right[k]});
    half_rows_.insert(half_rows_.end(), {left_.data() + 3 * k, right_.data() + 3 * k});
  }
}

void BlurredRows::take(int v) {
  rows_.take(v, -kernel_.radius, width_px_ + 2 * kernel_.radius, left_.data(), right_.data());
  weigh(halves_, half_rows_, floats_, ring_.data() + slot(v) * floats_);
}

void BlurredRows::blur_down(int v, std::vector<float>& out) const {
  out.resize(floats_);
  std::vector<const float*> rows;
  for (int k = -kernel_.radius; k <= kernel_.radius; ++k) rows.push_back(row(v + k));
  weigh(kernel_.down, rows, floats_, out.data());
}

}  // namespace scrapetrace::press
