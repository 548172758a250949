// W^T N^-1 W, sample by sample: what views of a patch see is summed up before the jets and knots that they
// see it of are looked at, and what patches see of jets before their products are taken.

#include <algorithm>

#include "diagnose/page_samples.h"

namespace scrapetrace::diagnose {

namespace {

template <std::size_t Inks>
void add_row(double factor, const double* values, std::size_t inks, double* out) {
  for (std::size_t b = 0; b < (Inks > 0 ? Inks : inks); ++b) out[b] += factor * values[b];
}

}  // namespace

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
    std::size_t number = 0;  // of its ink among the patch's
    std::size_t ink = 0;
    std::size_t unknown = 0;
    double part = 0;
    double* row = nullptr;
  };

  BandedCholesky& system;
  std::size_t band;
  Range range;
  std::vector<double> together;   // S N^-1 S^T over all patches, by two inks
  std::vector<double> own;        // the same of a patch, by one of its inks and any
  std::vector<double*> jet_rows;  // by jet and ink
  std::vector<Knot> knots;        // of a patch, that the sample lies between
};

// Four inks are what most machines have: their loops are of a known length.
void PageSamples::add_to(BandedCholesky& system, int threads) const {
  each_range(threads, [&](Range range) {
    Room room(inks_, system, band_, range);
    for (std::size_t s = 0; s < seen_.size(); ++s)
      inks_ == 4 ? add_samples<4>(s, room) : add_samples<0>(s, room);
  });
}

template <std::size_t Inks>
void PageSamples::add_samples(std::size_t s, Room& room) const {
  const std::size_t inks = Inks > 0 ? Inks : inks_;
  for (std::size_t i = 0; i < seen_[s].extents.size(); ++i) {
    if (!seen_[s].extents[i].meets(room.range)) continue;
    const std::size_t first = seen_[s].extents[i].first;
    const auto jets = unknowns_.jets_seen(s, i);
    room.jet_rows.clear();
    for (const PageUnknowns::SeenJet& jet : jets) {
      for (std::size_t ink = 0; ink < inks; ++ink)
        room.jet_rows.push_back(room.entries(jet.first + ink, first));
    }
    std::fill(room.together.begin(), room.together.end(), 0.0);
    for (const Patch& patch : seen_[s].patches) {
      if (any_counts(patch, i)) add_patch<Inks>(s, i, patch, room);
    }
    for (std::size_t j = 0; j < jets.size(); ++j) {
      for (std::size_t a = 0; a < inks; ++a) {
        double* const row = room.jet_rows[j * inks + a];
        if (row == nullptr) continue;
        const double* const sums = room.together.data() + a * inks;
        for (std::size_t k = 0; k < j; ++k)
          add_row<Inks>(jets[j].weight * jets[k].weight, sums, inks, row + jets[k].first);
        const double weight = jets[j].weight * jets[j].weight;
        for (std::size_t b = 0; b <= a; ++b) row[jets[j].first + b] += weight * sums[b];
      }
    }
  }
}

// All products but those of two jets.
template <std::size_t Inks>
void PageSamples::add_patch(std::size_t s, std::size_t i, const Patch& patch, Room& room) const {
  const std::size_t inks = Inks > 0 ? Inks : inks_;
  sum_up(i, patch, room);
  take_knots(s, i, patch, room);
  const auto jets = unknowns_.jets_seen(s, i);
  for (std::size_t k = 0; k < room.knots.size(); ++k) {
    const Room::Knot& knot = room.knots[k];
    const double* const own = room.own.data() + knot.number * inks;
    for (std::size_t j = 0; j < jets.size(); ++j) {
      const double factor = knot.part * jets[j].weight;
      if (knot.unknown > jets[j].first) {
        if (knot.row != nullptr) add_row<Inks>(factor, own, inks, knot.row + jets[j].first);
      } else {
        double* const* const rows = room.jet_rows.data() + j * inks;
        for (const ShownInk& shown : patch.inks) {
          double* const row = rows[shown.ink];
          if (row != nullptr) row[knot.unknown] += factor * own[shown.ink];
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
  std::fill_n(room.own.begin(), inks * inks_, 0.0);
  for (const View& view : patch.views) {
    const double precision = view.precision[i];
    const double* product = view.product.data();
    for (std::size_t a = 0; a < inks; ++a) {
      double* const own = room.own.data() + a * inks_;
      for (std::size_t b = 0; b < inks; ++b) own[patch.inks[b].ink] += precision * *product++;
    }
  }
  for (std::size_t a = 0; a < inks; ++a) {
    const double* const own = room.own.data() + a * inks_;
    double* const together = room.together.data() + patch.inks[a].ink * inks_;
    for (std::size_t b = 0; b < inks_; ++b) together[b] += own[b];
  }
}

void PageSamples::take_knots(std::size_t s, std::size_t i, const Patch& patch, Room& room) const {
  const std::size_t first = seen_[s].extents[i].first;
  room.knots.clear();
  for (std::size_t a = 0; a < patch.inks.size(); ++a) {
    const ShownInk& shown = patch.inks[a];
    if (shown.knots == nullptr) continue;
    const BetweenKnots& at = between(s, i, shown);
    room.knots.push_back({a, shown.ink, at.left, 1 - at.right_part, room.entries(at.left, first)});
    room.knots.push_back({a, shown.ink, at.right, at.right_part, room.entries(at.right, first)});
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
        room.add(unknown, knot.unknown, part * knot.part * view.share[knot.number]);
      for (const PageUnknowns::SeenJet& jet : unknowns_.jets_seen(s, i)) {
        for (std::size_t a = 0; a < patch.inks.size(); ++a)
          room.add(unknown, jet.first + patch.inks[a].ink, part * jet.weight * view.share[a]);
      }
    }
  }
}

}  // namespace scrapetrace::diagnose
