#pragma once
// What is left of each ink's loss across the drum when streaks and slow changes are taken away: the jets'
// own pattern, and noise.

#include <cstddef>
#include <vector>

#include "geometry/machine.h"
#include "likelihood/scene.h"

namespace scrapetrace::jets {

// Mean over the strips that show one ink, on the scan's grid.
struct InkResidual {
  int ink = -1;  // of the layout
  int from = 0;  // samples [from, to) hold values
  int to = 0;
  std::vector<double> value;  // relative loss; grid-sized, 0 outside
  std::vector<bool> streak;   // samples that leave_jets() took for one; empty before
  double jet_variance = 0;    // of one jet's volume, relative
  double noise_variance = 0;  // of one sample, the jets left out
};

// One per ink that two strips or more show widely, as measured on them: all that is lost, jets or not.
std::vector<InkResidual> ink_losses(const geometry::Machine& machine, const profile::PreparedScan& scan);

// Takes away what changes slowly, and what stands out with its neighbourhood: a streak would pass for jets.
void leave_jets(double pitch_mm, InkResidual& residual);

// Adds the square of what is left at each sample, all that changes slowly taken away, when a loss for each
// sample of the grid was expected.
void add_unexpected_squares(const std::vector<double>& expected, double pitch_mm, InkResidual residual,
                            std::vector<double>& squares);

}  // namespace scrapetrace::jets
