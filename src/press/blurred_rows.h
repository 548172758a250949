#pragma once
// Blurred rows of the raw scan. Keeps only the rows that the vertical blur needs.

#include <cstddef>
#include <vector>

#include "press/blur.h"
#include "press/scan_rows.h"

namespace scrapetrace::press {

class BlurredRows {
 public:
  BlurredRows(ScanRows& rows, const Kernel& kernel, int width_px);
  BlurredRows(const BlurredRows&) = delete;  // holds pointers into itself
  BlurredRows& operator=(const BlurredRows&) = delete;

  // Renders row v and blurs it across; rows come in sequence.
  void take(int v);
  // Row v, three floats per pixel. The last rows taken must be v - radius to v + radius.
  void blur_down(int v, std::vector<float>& out) const;

 private:
  [[nodiscard]] const float* row(int v) const { return ring_.data() + slot(v) * floats_; }
  [[nodiscard]] std::size_t slot(int v) const {
    return static_cast<std::size_t>(v + 2 * kernel_.radius) % kernel_.down.size();
  }

  ScanRows& rows_;
  const Kernel& kernel_;
  int width_px_;
  std::size_t floats_;  // of a row
  std::vector<float> left_;
  std::vector<float> right_;
  std::vector<float> halves_;  // the kernel's weights, left and right alternating, and their offsets
  std::vector<const float*> half_rows_;
  std::vector<float> ring_;
};

}  // namespace scrapetrace::press
