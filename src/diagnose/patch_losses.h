#pragma once
// The mean loss of a patch over its strips, sample by sample, with its noise.

#include <optional>
#include <vector>

#include "diagnose/scene.h"
#include "diagnose/seam_light.h"

namespace scrapetrace::diagnose {

// Of the mean over a patch's strips of one ink.
struct InkMottle {
  double variance = 0;
  double length_mm = 3;
};

struct PatchLoss {
  int patch = -1;  // the chart's
  int ink = -1;
  bool single_ink = false;
  std::vector<double> share;  // per layout ink: its part of the density in this channel, sums to 1
  double density = 0;         // of its inks over paper in this channel; 0 for tints, whose dots hide it
  double level = 0;           // density over paper that the patch has in its middle
  int from = 0;               // samples of the scan's grid that any strip shows: [from, to)
  int to = 0;
  std::vector<double> loss;       // grid-sized; mean over strips, weighted by rows
  std::vector<double> amount;     // the same: of ink, over that in the patch's middle; 0: not seen
  std::vector<double> variance;   // the same: of its white noise; 0: blind
  std::vector<InkMottle> mottle;  // per layout ink; every view of the patch sees the same
  profile::Phases phases;         // of its samples
  SeamLight seams;                // beside which losses are straight_loss()
  struct Beside {                 // with the step still in it
    double loss = 0;
    double variance = 0;
    double level = 0;  // over that in the patch's middle
  };
  std::vector<Beside> beside;  // of every sample of `seams`
};

// What a loss of all inks alike shows in a view, or one of a single ink.
double whole(const PatchLoss& view);
double share_of(const PatchLoss& view, std::optional<std::size_t> ink);

// Every patch in every channel that the scan's views have of it, as if the layout's carriages did not stand
// off. The answers do not depend on the threads.
std::vector<PatchLoss> patch_losses(const Layout& layout, const geometry::ColumnMap& columns,
                                    const PreparedScan& scan, const std::vector<InkNoise>& noise,
                                    const std::vector<Interval>& blind_mm, int threads = 1);

// Takes the steps at seams out of what was seen beside them, as `seams` has them. Its samples must be those
// of view.seams.
void take_out_steps(SeamLight seams, PatchLoss& view);

}  // namespace scrapetrace::diagnose
