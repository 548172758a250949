#pragma once
// Contacts on a carriage, weighed by the fit of the whole page.

#include <optional>
#include <vector>

#include "diagnose/carriage_contacts.h"
#include "diagnose/column_evidence.h"

namespace scrapetrace::diagnose {

class BoxWeigher {
 public:
  // `evidence` must hold a fit; all must outlive it.
  BoxWeigher(const Layout& layout, const geometry::ColumnMap& columns, const ColumnEvidence& evidence);

  // T / sqrt(F) of the contact over [middle - width / 2, middle + width / 2) raster steps: of unit variance
  // where nothing is wrong, if the fit knows its noise. 0 where the page shows nothing of it.
  [[nodiscard]] double claimed_z(std::size_t carriage, double middle_px, double width_px) const;

  // How far claimed_z spreads over the page for about this width, as a robust standard deviation; at least 1,
  // and 1 where the page is too small to tell. Measured when first asked for.
  [[nodiscard]] double spread(double width_px);

 private:
  [[nodiscard]] double measure_spread(int width_px) const;

  const ColumnEvidence& evidence_;
  std::vector<CarriageContacts> contacts_;  // per carriage
  std::vector<std::optional<double>> spreads_;
};

}  // namespace scrapetrace::diagnose
