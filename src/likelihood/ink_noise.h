#pragma once
// The noise of each ink on a page, measured where nothing is wrong.

#include <map>
#include <vector>

#include "geometry/machine.h"
#include "profile/prepared_scan.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::diagnose {

// Noise of one ink on one scan, relative to the ink's amount.
struct InkNoise {
  int ink = -1;
  double jet_sigma = 0.02;    // jet-to-jet variation
  double strip_sigma = 0.01;  // of one sample of one strip: grain, scanner; not shared between strips; for
                              // bare paper (ink -1): of its signal, relative
  double mottle_sigma = 0;    // of one strip's slow variation across, not shared between strips either
  double mottle_mm = 3;       // its correlation length: exp(-d^2 / (2 length^2))
};

// Views by ink; where an ink stands alone on some patch, only those; of them the ones of one coverage, nearly
// as wide as the widest, because a small patch may not cut the others short.
std::map<int, std::vector<const profile::InkView*>> views_by_ink(const profile::PreparedScan& scan);

// Jet variation from the spread of the mean over strips, what is left after the strips' own noise is taken
// off and what blur leaves of a jet's columns is accounted for. One entry per ink that stands alone on some
// patch, else per ink seen. The answers do not depend on the threads.
std::vector<InkNoise> measure_ink_noise(const geometry::Machine& machine, const profile::PreparedScan& scan,
                                        int threads = 1);

}  // namespace scrapetrace::diagnose
