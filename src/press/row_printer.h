#pragma once
// One raster row as linear reflectance: inks with grain, mottle and screen through Beer-Lambert: paper_white
// * 10^-(sum over inks of solid_density * amount, plus haze), per channel.

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "press/mottle.h"
#include "press/random.h"
#include "press/row_inks.h"
#include "press/tone.h"

namespace scrapetrace::press {

// Linear R, G, B; the fourth value pads to a vector register.
using Light = std::array<float, 4>;

class RowPrinter {
 public:
  // Working memory per thread.
  struct Scratch {
    std::vector<float> nodes;
    std::vector<float> deviation;
    std::array<std::vector<float>, 3> density;
  };

  RowPrinter(const Layout& layout, const PrintOptions& print, std::uint64_t sheet_seed, const Strips& strips,
             const RowPlan& plan, double y_from_mm, double y_to_mm);

  // Row r into out[0 .. strips). Does not depend on order or thread.
  void print(int r, Scratch& scratch, Light* out) const;

 private:
  void deviate(const InkRow& ink, int r, Scratch& scratch) const;
  void lay(const InkRow& ink, int r, Scratch& scratch) const;

  const Layout& layout_;
  const PrintOptions& print_;
  const RowPlan& plan_;
  std::uint64_t seed_;
  std::size_t strips_;
  std::vector<std::optional<Mottle>> mottle_;  // per ink; empty: none
  std::vector<Mottle::Place> places_;          // per strip
  std::vector<int> columns_;                   // per strip, the raster's column, for halftone screens
  Transmittance transmittance_;
};

}  // namespace scrapetrace::press
