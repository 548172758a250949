#pragma once
// What a page's losses hold besides streaks: every jet's volume of every ink, and the slow mottle of every
// ink of every patch. Channels of an overprint see the same inks, each in other parts: what they share is no
// news.

#include <algorithm>
#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "base/ragged.h"
#include "diagnose/column_footprints.h"
#include "diagnose/patch_losses.h"

namespace scrapetrace::diagnose {

// One scan's losses, and which columns they see.
struct ScanLosses {
  profile::Grid grid;
  ColumnFootprints footprints;
  std::vector<PatchLoss> patches;
};

constexpr std::size_t kSamplesAtOnce = 256;  // that a thread takes

constexpr double kFaintestShare = 0.02;  // of an ink in a channel: less is noise of the ink's own

// What two unknowns' prior has in common.
struct Coupling {
  std::size_t unknown = 0;
  std::size_t earlier = 0;
  double precision = 0;
};

// Numbers the unknowns by their place across the drum, so that those of one sample lie close together; the
// inks of a jet follow one another. Mottle is straight between knots 0.35 correlation lengths apart.
class PageUnknowns {
 public:
  // `noise` of each scan: a jet's variance is the mean over the scans, which share their jets. The same for
  // any number of threads.
  PageUnknowns(const Layout& layout, const geometry::ColumnMap& columns, const std::vector<ScanLosses>& scans,
               const std::vector<std::vector<InkNoise>>& noise, int threads = 1);

  [[nodiscard]] std::size_t size() const { return precision_.size(); }
  [[nodiscard]] std::size_t inks() const { return layout_.inks.size(); }
  [[nodiscard]] double precision(std::size_t unknown) const { return precision_[unknown]; }  // of its prior
  [[nodiscard]] const std::vector<Coupling>& couplings() const { return couplings_; }
  // Jets that stand out from the others are weak or blocked, and may be so by any amount: their priors give
  // way.
  void free_odd_jets(const std::vector<double>& unknowns);
  // How far right of where a scan's steps at seams were taken for the unknowns have them.
  [[nodiscard]] std::vector<double> steps_moved_mm(std::size_t scan,
                                                   const std::vector<double>& unknowns) const;
  // What every column loses in a patch's inks, given the unknowns; one that nobody lays nothing.
  [[nodiscard]] std::vector<double> losses_of(std::size_t scan, std::size_t patch,
                                              const std::vector<double>& unknowns) const;

  struct SeenJet {          // the columns that it laid, as a sample sees them
    std::size_t first = 0;  // its volume of the first ink; those of the other inks follow
    std::size_t rank = 0;   // among the jets, by their numbers
    double weight = 0;
  };
  // In the order of their numbers.
  [[nodiscard]] std::span<const SeenJet> jets_seen(std::size_t scan, std::size_t sample) const {
    return jets_seen_[scan][sample];
  }

  // The first number of every jet that lays anything, in order: by rank.
  [[nodiscard]] const std::vector<std::size_t>& jets() const { return jets_; }
  // The number of the first ink of the jet that lays a column; those of the other inks follow. Of columns
  // with an owner only.
  [[nodiscard]] std::size_t jet(int column) const {
    return jet_number_[jet_of_[static_cast<std::size_t>(column)]];
  }

  struct Knots {  // of one ink of one patch
    double first_mm = 0;
    double last_mm = 0;
    double step_mm = 1;
    double variance = 0;              // 0: the patch has next to nothing of the ink
    std::vector<std::size_t> number;  // empty: no view has more than next to nothing

    struct Between {
      std::size_t left = 0;   // index in `number`
      double right_part = 0;  // of the knot after it
    };
    [[nodiscard]] Between between(double x_mm) const {
      const double at = (x_mm - first_mm) / step_mm;
      const auto left = std::min(static_cast<std::size_t>(std::max(0.0, at)), number.size() - 2);
      return {left, at - static_cast<double>(left)};
    }
  };
  // Of a patch of the chart that any view shows.
  [[nodiscard]] const Knots& knots(std::size_t scan, std::size_t patch, std::size_t ink) const {
    return knots_[scan][patch][ink];
  }

  using StepNumbers = std::array<std::size_t, kSeamShapes>;
  // How a view's step at a seam differs. Null: the view does not see it.
  [[nodiscard]] const StepNumbers* step(std::size_t scan, std::size_t view, std::size_t step) const;

 private:
  struct Place;  // of an unknown that has no number yet

  void place_jets(const std::vector<std::vector<InkNoise>>& noise, std::vector<Place>& places);
  void place_knots(std::vector<Place>& places);
  void place_steps(std::vector<Place>& places);
  void span_knots(const profile::Grid& grid, const PatchLoss& view,
                  std::vector<std::vector<Knots>>& of_scan) const;
  void couple_knots();
  [[nodiscard]] Ragged<SeenJet> jets_seen_by(const Ragged<SeenColumn>& samples, int threads) const;
  void add_jets_seen(std::span<const SeenColumn> columns, std::vector<SeenJet>& out) const;
  const Layout& layout_;
  const geometry::ColumnMap& columns_;
  const std::vector<ScanLosses>& scans_;
  std::vector<std::size_t> jet_of_;                                 // per column
  std::vector<std::size_t> jet_number_;                             // per jet: of its first ink
  std::vector<std::size_t> jets_;                                   // the same of those that lay any, sorted
  std::vector<std::size_t> jet_rank_;                               // per jet: its place there
  std::vector<std::vector<std::vector<Knots>>> knots_;              // per scan, patch of the chart and ink
  std::vector<std::vector<std::vector<StepNumbers>>> step_number_;  // per scan, view and step of a seam
  std::vector<double> precision_;
  std::vector<Coupling> couplings_;
  std::vector<Ragged<SeenJet>> jets_seen_;  // per scan, by sample
};

}  // namespace scrapetrace::diagnose
