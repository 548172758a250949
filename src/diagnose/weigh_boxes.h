#pragma once
// Contacts on a carriage, weighed by the fit of the whole page.

#include <optional>
#include <vector>

#include "diagnose/carriage_contacts.h"
#include "diagnose/column_evidence.h"
#include "diagnose/page_fit.h"

namespace scrapetrace::diagnose {

// A contact on a carriage at home, in raster steps: [middle - width / 2, middle + width / 2).
struct CarriageBox {
  std::size_t carriage = 0;
  double middle_px = 0;
  double width_px = 0;
  double z = 0;
};

class BoxWeigher {
 public:
  // `evidence` must hold a fit; all must outlive it.
  BoxWeigher(const Layout& layout, const geometry::ColumnMap& columns, const ColumnEvidence& evidence,
             double widest_px, int threads = 1);

  // T / sqrt(F) of the contact: of unit variance where nothing is wrong, if the fit knows its noise. 0 where
  // the page shows nothing of it.
  [[nodiscard]] double claimed_z(const CarriageBox& box) const;

  // The box near this one, no wider than the widest, that claims most; what it claims is its z.
  [[nodiscard]] CarriageBox climbed(const CarriageBox& box) const;

  // The ink that explains the evidence for the box plainly better by itself than a loss of all inks alike:
  // then it is no contact. A jet that lands beside its columns draws a narrow contact's comb in its own ink.
  [[nodiscard]] std::optional<std::size_t> ink_alone(const CarriageBox& box) const;

  // Whether all inks lose alike, as far as noise lets that be seen: a contact takes from all of them. What a
  // lossy coder or a jet leaves does not.
  [[nodiscard]] bool inks_agree(const CarriageBox& box);

  // Takes what the box explains, in all inks or in one, out of the evidence: what claimed_z says from then on
  // is of the rest.
  void take_out(const CarriageBox& box, std::optional<std::size_t> ink);
  [[nodiscard]] const std::vector<double>& left() const { return value_; }

  // How far claimed_z spreads over the page for about this width, as a robust standard deviation;
  // 1 where the page is too small to tell. Measured when first asked for.
  [[nodiscard]] double spread(double width_px);

 private:
  // The box of another width, within this one or over it, that claims most: the filter that proposes takes
  // the noise for white, and may see a part of a contact best, or one in much else.
  [[nodiscard]] CarriageBox resized(const CarriageBox& box) const;
  [[nodiscard]] CarriageBox climbed_from(CarriageBox box, double first_step_px) const;
  [[nodiscard]] PageFit::Loss touched(const CarriageBox& box) const;
  [[nodiscard]] double pull(const PageFit::Loss& loss) const;
  [[nodiscard]] double measure_spread(int width_px) const;

  const ColumnEvidence& evidence_;
  double widest_px_;
  int threads_;
  std::vector<std::vector<double>> by_ink_;
  std::vector<double> value_;               // their sum
  std::vector<CarriageContacts> contacts_;  // per carriage
  std::vector<std::optional<double>> spreads_;
};

}  // namespace scrapetrace::diagnose
