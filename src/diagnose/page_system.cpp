// W^T N^-1 W, sample by sample: what views of a patch see is summed up before the jets and knots that they
// see it of are looked at, and what patches see of jets before their products are taken.

#include <algorithm>

#include "diagnose/page_samples.h"

namespace scrapetrace::diagnose {

// What of a sample is added to the system, in turn.
struct PageSamples::Room {
  Room(std::size_t inks, BandedCholesky& to, std::size_t band_width, Range rows)
      : system(to), band(band_width), range(rows), together(inks * inks), own(inks * inks) {}

  // Entries of a row for unknowns from `first` on as far as the band goes; null: not of the range at hand.
  [[nodiscard]] double* entries(std::size_t row, std::size_t first) const {
    if (row < range.from || row >= range.to) return nullptr;
    return system.entries(row, std::max(first, row - std::min(row, band)));
  }
  void add(std::size_t a, std::size_t b, double value) const {
    const std::size_t row = std::max(a, b);
    if (row >= range.from && row < range.to) system.add(row, std::min(a, b), value);
  }

  struct Knot {
    std::size_t ink = 0;  // number among the patch's
    std::size_t unknown = 0;
    double part = 0;
    double* row = nullptr;
  };

  BandedCholesky& system;
  std::size_t band;
  Range range;
  std::vector<double> together;   // S N^-1 S^T over all patches, by two inks
  std::vector<double> own;        // the same of a patch, by two of its inks
  std::vector<double*> jet_rows;  // by jet and ink
  std::vector<Knot> knots;        // of a patch, that the sample lies between
};

void PageSamples::add_to(BandedCholesky& system, int threads) const {
  each_range(threads, [&](Range range) {
    Room room(inks_, system, band_, range);
    for (std::size_t s = 0; s < seen_.size(); ++s) {
      for (std::size_t i = 0; i < seen_[s].extents.size(); ++i) {
        if (seen_[s].extents[i].meets(range)) add_sample(s, i, room);
      }
    }
  });
}

void PageSamples::add_sample(std::size_t s, std::size_t i, Room& room) const {
  const std::size_t first = seen_[s].extents[i].first;
  const auto jets = unknowns_.jets_seen(s, i);
  room.jet_rows.clear();
  for (const PageUnknowns::SeenJet& jet : jets) {
    for (std::size_t ink = 0; ink < inks_; ++ink)
      room.jet_rows.push_back(room.entries(jet.first + ink, first));
  }
  std::fill(room.together.begin(), room.together.end(), 0.0);
  for (const Patch& patch : seen_[s].patches) {
    if (any_counts(patch, i)) add_patch(s, i, patch, room);
  }
  for (std::size_t j = 0; j < jets.size(); ++j) {
    for (std::size_t a = 0; a < inks_; ++a) {
      double* const row = room.jet_rows[j * inks_ + a];
      if (row == nullptr) continue;
      const double* const sums = room.together.data() + a * inks_;
      for (std::size_t k = 0; k <= j; ++k) {
        const double weight = jets[j].weight * jets[k].weight;
        double* const out = row + jets[k].first;
        for (std::size_t b = 0; b < (k < j ? inks_ : a + 1); ++b) out[b] += weight * sums[b];
      }
    }
  }
}

// All products but those of two jets.
void PageSamples::add_patch(std::size_t s, std::size_t i, const Patch& patch, Room& room) const {
  const std::size_t inks = patch.inks.size();
  sum_up(i, patch, room);
  find_knots(s, i, patch, room);
  const auto jets = unknowns_.jets_seen(s, i);
  for (std::size_t k = 0; k < room.knots.size(); ++k) {
    const Room::Knot& knot = room.knots[k];
    const double* const own = room.own.data() + knot.ink * inks;
    for (std::size_t j = 0; j < jets.size(); ++j) {
      const double factor = knot.part * jets[j].weight;
      if (knot.unknown > jets[j].first) {
        if (knot.row == nullptr) continue;
        double* const out = knot.row + jets[j].first;
        for (std::size_t b = 0; b < inks; ++b) out[patch.inks[b].ink] += factor * own[b];
      } else {
        double* const* const rows = room.jet_rows.data() + j * inks_;
        for (std::size_t b = 0; b < inks; ++b) {
          double* const row = rows[patch.inks[b].ink];
          if (row != nullptr) row[knot.unknown] += factor * own[b];
        }
      }
    }
    for (std::size_t j = 0; j <= k; ++j) {
      const Room::Knot& other = room.knots[j];
      const double product = knot.part * other.part * own[other.ink];
      if (other.unknown > knot.unknown) {
        if (other.row != nullptr) other.row[knot.unknown] += product;
      } else if (knot.row != nullptr) {
        knot.row[other.unknown] += product;
      }
    }
  }
  if (seen_[s].extents[i].steps) add_steps(s, i, patch, room);
}

void PageSamples::sum_up(std::size_t i, const Patch& patch, Room& room) const {
  const std::size_t inks = patch.inks.size();
  double* const own = room.own.data();
  std::fill_n(own, inks * inks, 0.0);
  for (const View& view : patch.views) {
    const double precision = view.precision[i];
    for (std::size_t k = 0; k < view.product.size(); ++k) own[k] += precision * view.product[k];
  }
  for (std::size_t a = 0; a < inks; ++a) {
    for (std::size_t b = 0; b < inks; ++b)
      room.together[patch.inks[a].ink * inks_ + patch.inks[b].ink] += own[a * inks + b];
  }
}

void PageSamples::find_knots(std::size_t s, std::size_t i, const Patch& patch, Room& room) const {
  const double x_mm = scans_[s].grid.at(static_cast<double>(i));
  const std::size_t first = seen_[s].extents[i].first;
  room.knots.clear();
  for (std::size_t a = 0; a < patch.inks.size(); ++a) {
    if (patch.inks[a].knots == nullptr) continue;
    const auto between = patch.inks[a].knots->between(x_mm);
    const std::size_t* const number = patch.inks[a].knots->number.data() + between.left;
    room.knots.push_back({a, number[0], 1 - between.right_part, room.entries(number[0], first)});
    room.knots.push_back({a, number[1], between.right_part, room.entries(number[1], first)});
  }
}

void PageSamples::add_steps(std::size_t s, std::size_t i, const Patch& patch, const Room& room) const {
  for (const View& view : patch.views) {
    const SeenStep step = step_seen(s, view.number, i);
    if (step.unknowns == nullptr || view.precision[i] == 0) continue;
    for (std::size_t k = 0; k < step.part.size(); ++k) {
      const std::size_t unknown = (*step.unknowns)[k];
      const double part = view.precision[i] * step.part[k];
      for (std::size_t j = 0; j <= k; ++j) room.add(unknown, (*step.unknowns)[j], part * step.part[j]);
      for (const Room::Knot& knot : room.knots)
        room.add(unknown, knot.unknown, part * knot.part * view.share[knot.ink]);
      for (const PageUnknowns::SeenJet& jet : unknowns_.jets_seen(s, i)) {
        for (std::size_t a = 0; a < patch.inks.size(); ++a)
          room.add(unknown, jet.first + patch.inks[a].ink, part * jet.weight * view.share[a]);
      }
    }
  }
}

}  // namespace scrapetrace::diagnose
