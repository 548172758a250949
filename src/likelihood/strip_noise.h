#pragma once
// What strips of one ink differ by: noise that they do not share.

#include <map>
#include <vector>

#include "likelihood/scene.h"

namespace scrapetrace::diagnose {

// Standard deviations of one strip's own noise, relative to the ink's amount.
struct StripNoise {
  double fine = 0;  // what changes from sample to sample
  double slow = 0;  // what changes slowly, as neighbours' differences show it: less their baselines
  // All of what changes slowly, such that the mean over a patch's m strips has it divided by sqrt(m), though
  // neighbours share some.
  double mottle = 0;
  double mottle_mm = 3;  // correlation length, along the sheet as across: exp(-d^2 / (2 length^2))
};

// Per ink, from the differences between strips that follow one another. Mottle's length is the transfer's,
// and the same for all inks: one ink's strips tell it to half. Inks with too few strips are left out. The
// answers do not depend on the threads.
std::map<int, StripNoise> compare_strips(const profile::PreparedScan& scan,
                                         const std::map<int, std::vector<const profile::InkView*>>& views,
                                         int threads = 1);

}  // namespace scrapetrace::diagnose
