#include "score/ideal_lattice.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "score/priors.h"

namespace scrapetrace::score {

namespace {
constexpr double kSamePlace_mm = 1e-7;
constexpr int kParts = 4;
}  // namespace

EdgeLattice::EdgeLattice(const Layout& layout, const geometry::ColumnMap& columns, Interval span_mm) {
  const double px = layout.px_mm();
  std::set<double> offsets;
  const int first = static_cast<int>(std::floor(span_mm.from_mm / px)) - 1;
  const int last = static_cast<int>(std::ceil(span_mm.to_mm / px)) + 1;
  for (int c = first; c <= last; ++c) {
    const auto owner = columns.owner(c);
    if (!owner.nobody())
      offsets.insert(layout.carriages[layout.heads[static_cast<std::size_t>(owner.head)].carriage].offset_mm);
  }
  if (offsets.empty()) offsets.insert(0.0);
  for (int c = first; c <= last; ++c) {
    for (const double offset : offsets) edge_mm_.push_back((c + 0.5) * px + offset);
  }
  std::sort(edge_mm_.begin(), edge_mm_.end());
  const auto same = [](double a, double b) { return b - a < kSamePlace_mm; };
  edge_mm_.erase(std::unique(edge_mm_.begin(), edge_mm_.end(), same), edge_mm_.end());
}

int EdgeLattice::gap_of(double x_mm) const {
  const auto at = std::upper_bound(edge_mm_.begin(), edge_mm_.end(), x_mm) - edge_mm_.begin() - 1;
  return std::clamp(static_cast<int>(at), 0, size() - 1);
}

CellPrior cell_prior(const Layout& layout, const IdealPrior& prior, const EdgeLattice& lattice,
                     std::size_t carriage, int left, int right) {
  CellPrior out;
  out.by_target.assign(prior.zones.size(), 0.0);
  const double area = (lattice.to_mm(left) - lattice.from_mm(left)) *
                      (lattice.to_mm(right) - lattice.from_mm(right)) / (kParts * kParts);
  double second = 0;
  Residue contact;
  contact.carriage = carriage;
  for (int i = 0; i < kParts; ++i) {
    for (int j = 0; j < kParts; ++j) {
      const auto at = [&](int gap, int part) {
        return lattice.from_mm(gap) + (part + 0.5) / kParts * (lattice.to_mm(gap) - lattice.from_mm(gap));
      };
      contact.x_mm = at(left, i);
      contact.width_mm = at(right, j) - contact.x_mm;
      const double by_width = width_density(contact.width_mm);
      if (by_width <= 0 || !may_be_drawn(prior.kind, touched_drum(layout, contact), prior.printed_mm))
        continue;
      for (std::size_t z = 0; z < prior.zones.size(); ++z) {
        if (layout.heads[prior.zones[z].head].carriage != carriage) continue;
        const double mass =
            0.5 * area * by_width * place_density(prior.zones[z], contact.x_mm, contact.width_mm);
        const double middle = contact.x_mm + 0.5 * contact.width_mm;
        out.by_target[z] += mass;
        out.mass += mass;
        out.middle_mm += mass * middle;
        second += mass * middle * middle;
      }
    }
  }
  if (out.mass > 0) {
    out.middle_mm /= out.mass;
    out.middle_variance = std::max(0.0, second / out.mass - out.middle_mm * out.middle_mm);
  }
  return out;
}

}  // namespace scrapetrace::score
