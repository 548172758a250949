#pragma once
// Faint scrapes, sought where they are made: on the carriage.
//
// A scrape at home [r, r + w) of carriage q touches the columns c under [r + s_k, r + w + s_k) in every pass
// k after c was laid. Its matched filter, sum n(c) evidence(c), is therefore the sum over [r, r + w) of h(X)
// = sum over k of evidence(column at X + s_k) where pass k comes after the laying: the columns' evidence
// carried back to the carriage, pass by pass, where residue is a box again and box_search.h finds it.
//
// That search takes the evidence for equally noisy everywhere, which it is not: it only proposes. What it
// proposes is weighed by the fit: T / sqrt(F), T the matched filter's output and F = n^T information n, is of
// unit variance if the fit is right. How far it spreads over the page, where next to nothing is wrong, shows
// how right the fit is, and T / sqrt(F) is held against that.

#include <vector>

#include "diagnose/column_evidence.h"
#include "diagnose/weigh_boxes.h"
#include "geometry/column_map.h"
#include "scrapetrace/layout.h"
#include "streak/find_regions.h"

namespace scrapetrace::diagnose {

// h per raster step of the drum at home, X = (i + 1/2) px + the carriage's offset. In the pass that lays a
// column residue touches it on one side of the jets only; such contacts count half.
std::vector<double> carried_back(const Layout& layout, const geometry::ColumnMap& columns,
                                 std::size_t carriage, const std::vector<double>& evidence);

struct Proposals {
  std::vector<CarriageBox> boxes;  // strongest first on each carriage
  double threshold =
      0;  // that Gaussian noise alone passes false_alarm_rate times per page, all carriages together
};

// What passes `ease` times the search's threshold, a dozen per carriage at most.
Proposals propose_boxes(const Layout& layout, const geometry::ColumnMap& columns,
                        const std::vector<double>& evidence, const streak::RegionOptions& options,
                        double ease);

// Regions of the print that a scrape found on any carriage has touched. `evidence` must hold a fit.
std::vector<streak::Region> search_carriages(const Layout& layout, const geometry::ColumnMap& columns,
                                             const ColumnEvidence& evidence,
                                             const streak::RegionOptions& options);

}  // namespace scrapetrace::diagnose
