#pragma once
// What is wrong in one region of the drum: one explanation after the other until the noise is reached.

#include <array>
#include <optional>
#include <vector>

#include "causes/found_causes.h"
#include "geometry/machine.h"

namespace scrapetrace::diagnose {

// One cause found, with everything the posterior says about it.
struct Explanation {
  std::array<double, kCauseCount> causes{};  // probabilities, sum to 1
  FoundCauses found;                         // their weights' exponentials sum to 1 within each cause
  Interval visible_mm;                       // drum: where the likeliest cause changes the print
  double middle_sigma_mm = 0;
  double claimed_mm = 0;  // loss times width, as the likeliest cause has it, of the part that traces show
  double loss = 0;        // mean fraction of ink missing over visible_mm; negative: ink added
  double misfit = 1;   // chi square per degree of freedom of the best cause; its evidence is tempered by it
  double freedom = 0;  // degrees; 0: not told
  double discrepancy = 0;  // whether the best cause leaves more than noise, from 0 to 1
  double beats_box = 0;    // log units by which the best cause is likelier than a box that no raster shapes
  double z = 0;
  std::vector<streak::Track> tracks;  // per prepared scan
};

struct DiagnoseOptions {
  CausePriors priors;
  SceneOptions scene;
  int most_causes = 3;  // per region
  double least_evidence =
      4.0;  // log odds against "nothing is wrong here" that a region's first cause must have
  double further_evidence =
      12.0;  // the same for each further cause: the first one's misfit imitates small ones
  // With a stronger streak close by that fits poorly: where both lie. What is found may be the other's then.
  std::optional<Interval> beside_stronger_mm;
  int threads = 1;  // the answers do not depend on them
};

// The page as a whole, shared by all regions.
struct PageContext {
  const geometry::Machine& machine;
  const std::vector<profile::PreparedScan>& scans;
  std::vector<std::vector<InkNoise>> noise;
  const Before* before = nullptr;  // scans from before, when there are any
  double damaged_places = 0;       // regions that show on a small part of their sheet only: sheet_damage.h
};

// Explains regions[index]; the other regions' samples are left out. Empty when it turns out to be noise.
std::vector<Explanation> diagnose_region(const PageContext& page, const std::vector<streak::Region>& regions,
                                         std::size_t index, const DiagnoseOptions& options);

}  // namespace scrapetrace::diagnose
