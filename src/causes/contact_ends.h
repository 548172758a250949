#pragma once
// Where an end of a contact can lie: between the middles of columns, in as many ways as there are.
//
// What a contact touches changes when an end passes a column's middle. Columns laid by one carriage stand one
// raster step apart; those of carriages that stand off by parts of a step lie between them where both lay ink
// (at seams), and an end then has as many places per step as there are such carriages.

#include <vector>

#include "geometry/machine.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::diagnose {

class ContactEnds {
 public:
  // For contacts that touch columns of the region.
  ContactEnds(const geometry::Machine& machine, const Interval& region_mm);

  // Places are numbered from left to right over all the drum.
  [[nodiscard]] double place_mm(int number) const;   // middle of the span that an end may have there
  [[nodiscard]] double length_mm(int number) const;  // of that span
  [[nodiscard]] int nearest(double x_mm) const;      // number of the place nearest to x
  [[nodiscard]] int per_step() const { return static_cast<int>(spans_.size()); }

 private:
  struct Span {
    double middle = 0;  // raster steps, from 0
    double length = 1;
  };
  double px_mm_;
  std::vector<Span> spans_;  // of one raster step
};

}  // namespace scrapetrace::diagnose
