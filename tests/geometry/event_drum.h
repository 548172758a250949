#pragma once
// A drum turned event by event, written without the library's ownership or contact code: what it holds at the
// end is what the closed form must give.

#include <cmath>
#include <numeric>
#include <vector>

#include "geometry/contact.h"
#include "machines.h"

namespace scrapetrace::testing {

class EventDrum {
 public:
  explicit EventDrum(const Layout& layout) : layout_(layout) {
    const auto columns = static_cast<std::size_t>(std::floor(layout.drum.width_mm / layout.px_mm() + 1e-9));
    ink_.assign(columns, 0.0);
    laid_by_.assign(columns, -1);
  }

  // Turns through all passes; every contact halves the ink that is there, so amounts stay exact.
  void print(const geometry::Contact& contact) {
    std::vector<std::size_t> order(layout_.carriages.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [this](std::size_t a, std::size_t b) {
      return layout_.carriages[a].angle_deg < layout_.carriages[b].angle_deg;
    });
    for (int pass = 0; pass < layout_.passes(); ++pass) {
      for (const std::size_t carriage : order) {
        const bool touches = carriage == contact.carriage;
        if (touches && !contact.downstream) touch(contact, pass);
        lay(carriage, pass);
        if (touches && contact.downstream) touch(contact, pass);
      }
    }
  }

  [[nodiscard]] const std::vector<double>& ink() const { return ink_; }

 private:
  struct Range {
    int first, last;
  };

  [[nodiscard]] Range reach(const Head& head) const {
    const Extent shift = shifts_of(layout_, head.carriage);
    return {head.first_jet_px + shift.high,
            head.first_jet_px + (head.jets - 1) * layout_.interleave.jet_pitch_px + shift.low};
  }

  // A head keeps silent outside its reach and beyond the middle of what its neighbour reaches too. The random
  // machines name their heads from left to right.
  [[nodiscard]] bool may_print(std::size_t h, int column) const {
    const Range own = reach(layout_.heads[h]);
    if (column < own.first || column > own.last) return false;
    if (h > 0) {
      const Range left = reach(layout_.heads[h - 1]);
      if (column <= left.last && column <= (own.first + left.last) / 2) return false;
    }
    if (h + 1 < layout_.heads.size()) {
      const Range right = reach(layout_.heads[h + 1]);
      if (column >= right.first && column > (right.first + own.last) / 2) return false;
    }
    return true;
  }

  void lay(std::size_t carriage, int pass) {
    for (std::size_t h = 0; h < layout_.heads.size(); ++h) {
      const Head& head = layout_.heads[h];
      if (head.carriage != carriage) continue;
      for (int jet = 0; jet < head.jets; ++jet) {
        const int column =
            head.first_jet_px + jet * layout_.interleave.jet_pitch_px +
            layout_.carriages[carriage].travel * layout_.interleave.shift_px[static_cast<std::size_t>(pass)];
        if (column < 0 || column >= static_cast<int>(ink_.size()) || !may_print(h, column)) continue;
        ink_[static_cast<std::size_t>(column)] += 1;
        laid_by_[static_cast<std::size_t>(column)] = static_cast<int>(carriage);
      }
    }
  }

  void touch(const geometry::Contact& contact, int pass) {
    const double moved_mm = layout_.carriages[contact.carriage].travel *
                            layout_.interleave.shift_px[static_cast<std::size_t>(pass)] * layout_.px_mm();
    for (std::size_t c = 0; c < ink_.size(); ++c) {
      if (laid_by_[c] < 0) continue;
      const double x = (static_cast<double>(c) + 0.5) * layout_.px_mm() +
                       layout_.carriages[static_cast<std::size_t>(laid_by_[c])].offset_mm;
      if (x >= contact.x_mm + moved_mm && x < contact.x_mm + contact.width_mm + moved_mm) ink_[c] /= 2;
    }
  }

  const Layout& layout_;
  std::vector<double> ink_;
  std::vector<int> laid_by_;
};

}  // namespace scrapetrace::testing
