#pragma once
// Mottle, the slow variation of an ink over a sheet: a Gaussian field of unit variance with correlation
// exp(-d^2 / (2 length^2)), sampled on a grid of length / 4 and interpolated linearly.

#include <cstdint>
#include <vector>

namespace scrapetrace::press {

class Mottle {
 public:
  // Over sheet x, y in [from, to]; positions outside are clamped.
  Mottle(std::uint64_t field_key, double length_mm, double x_from_mm, double x_to_mm, double y_from_mm,
         double y_to_mm);
  // The field along y at every grid column; input of at().
  void take_row(double y_mm, std::vector<float>& nodes) const;

  struct Place {
    int node = 0;
    float right = 0;  // weight of node + 1
  };
  [[nodiscard]] Place place(double x_mm) const;
  [[nodiscard]] static float at(const std::vector<float>& nodes, Place p) {
    const float* n = nodes.data() + p.node;
    return n[0] + p.right * (n[1] - n[0]);
  }

 private:
  double step_mm_;
  double x_from_mm_;
  double y_from_mm_;
  int width_;
  int height_;
  std::vector<float> nodes_;  // rows of width_
};

}  // namespace scrapetrace::press
