#pragma once
// What a page's losses hold besides streaks: every jet's volume of every ink, and the slow mottle of every
// ink of every patch. Channels of an overprint see the same inks, each in other parts: what they share is no
// news.

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "diagnose/column_footprints.h"
#include "diagnose/patch_losses.h"

namespace scrapetrace::diagnose {

// One scan's losses, and which columns they see.
struct ScanLosses {
  profile::Grid grid;
  ColumnFootprints footprints;
  std::vector<PatchLoss> patches;
};

// One unknown's part in a sample.
struct Part {
  std::uint32_t unknown = 0;
  float weight = 0;
};

// What two unknowns' prior has in common.
struct Coupling {
  std::size_t unknown = 0;
  std::size_t earlier = 0;
  double precision = 0;
};

// Numbers the unknowns by their place across the drum, so that those of one sample lie close together. Mottle
// is straight between knots 0.35 correlation lengths apart.
class PageUnknowns {
 public:
  // `noise` of each scan: a jet's variance is the mean over the scans, which share their jets.
  PageUnknowns(const Layout& layout, const geometry::ColumnMap& columns, const std::vector<ScanLosses>& scans,
               const std::vector<std::vector<InkNoise>>& noise);

  [[nodiscard]] std::size_t size() const { return precision_.size(); }
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

  // The unknowns in the samples of one view of a patch.
  class View;

 private:
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
    [[nodiscard]] Between between(double x_mm) const;
  };
  struct Place;            // of an unknown that has no number yet
  struct SeenJet {         // the columns that it laid, as a sample sees them
    std::size_t slot = 0;  // in jet_number_, for the first ink
    double weight = 0;
  };

  void place_jets(const std::vector<std::vector<InkNoise>>& noise, std::vector<Place>& places);
  void place_knots(std::vector<Place>& places);
  void place_steps(std::vector<Place>& places);
  void span_knots(const profile::Grid& grid, const PatchLoss& view,
                  std::vector<std::vector<Knots>>& of_scan) const;
  void couple_knots();
  [[nodiscard]] const Knots& knots_of(std::size_t scan, std::size_t patch, std::size_t ink) const;
  void add_step(std::size_t scan, std::size_t patch, std::size_t sample, std::vector<Part>& out) const;
  [[nodiscard]] std::vector<SeenJet> jets_seen(const std::vector<SeenColumn>& columns) const;
  const Layout& layout_;
  const geometry::ColumnMap& columns_;
  const std::vector<ScanLosses>& scans_;
  std::vector<std::size_t> slot_;        // per column: of its jet in jet_number_, for the first ink
  std::vector<std::size_t> jet_number_;  // by jet and ink
  std::vector<std::vector<std::vector<Knots>>> knots_;  // per scan, patch of the chart and ink
  using StepNumbers = std::vector<std::array<std::size_t, kSeamShapes>>;
  std::vector<std::vector<StepNumbers>> step_number_;  // per scan, view and step of a seam
  std::vector<double> precision_;
  std::vector<Coupling> couplings_;
  std::vector<std::vector<std::vector<SeenJet>>> jets_seen_;  // per scan and sample, in the unknowns' order
};

// Goes with the unknowns and the losses as they are when it is made.
class PageUnknowns::View {
 public:
  View(const PageUnknowns& unknowns, std::size_t scan, std::size_t patch);
  // The unknowns in a sample in their order, each once, until the next call. Inks of which the view has next
  // to nothing are left out.
  [[nodiscard]] std::span<const Part> parts(std::size_t sample);

 private:
  struct ShownInk {
    std::size_t ink = 0;
    double share = 0;
    const Knots* knots = nullptr;
    Knots::Between between;  // of the sample at hand
  };
  [[nodiscard]] Part* add_step(std::size_t sample, Part* at) const;

  const PageUnknowns& unknowns_;
  std::size_t scan_;
  std::size_t patch_;
  std::vector<ShownInk> inks_;
  std::vector<Part> room_;
};

}  // namespace scrapetrace::diagnose
