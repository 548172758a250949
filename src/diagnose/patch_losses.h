#pragma once
// The mean loss of a patch over its strips, sample by sample, with its noise.

#include <vector>

#include "diagnose/scene.h"

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
  int from = 0;               // samples of the scan's grid that any strip shows: [from, to)
  int to = 0;
  std::vector<double> loss;       // grid-sized; mean over strips, weighted by rows
  std::vector<double> amount;     // the same: of ink, over that in the patch's middle; 0: not seen
  std::vector<double> variance;   // the same: of its white noise; 0: blind
  std::vector<InkMottle> mottle;  // per layout ink; every view of the patch sees the same
};

// Every patch in every channel that the scan's views have of it.
std::vector<PatchLoss> patch_losses(const PreparedScan& scan, const std::vector<InkNoise>& noise,
                                    std::size_t inks, const std::vector<Interval>& blind_mm);

}  // namespace scrapetrace::diagnose
