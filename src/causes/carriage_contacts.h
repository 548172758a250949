#pragma once
// Which columns a place on a carriage touches, pass by pass.

#include <vector>

#include "geometry/machine.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::diagnose {

class CarriageContacts {
 public:
  // Of the columns [first, last] only.
  CarriageContacts(const geometry::Machine& machine, std::size_t carriage, int first, int last);

  struct Contact {
    int place = 0;  // raster step of the drum at home, counted from the carriage's offset
    int column = 0;
    double weight = 0;  // 1; in the pass that lays the column 1/2 per side of the jets that touches it
  };
  // In the order of their places.
  [[nodiscard]] const std::vector<Contact>& all() const { return contacts_; }

 private:
  std::vector<Contact> contacts_;
};

}  // namespace scrapetrace::diagnose
