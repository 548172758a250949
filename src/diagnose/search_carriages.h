#pragma once
// Faint scrapes, sought where they are made: on the carriage.
//
// A scrape at home [r, r + w) of carriage q touches the columns c under [r + s_k, r + w + s_k) in every pass
// k after c was laid. Its matched filter, sum n(c) evidence(c), is therefore the sum over [r, r + w) of h(X)
// = sum over k of evidence(column at X + s_k) where pass k comes after the laying: the columns' evidence
// carried back to the carriage, pass by pass, where residue is a box again and box_search.h finds it.

#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/layout.h"
#include "streak/find_regions.h"

namespace scrapetrace::diagnose {

// h per raster step of the drum at home, X = (i + 1/2) px + the carriage's offset. In the pass that lays a
// column residue touches it on one side of the jets only; such contacts count half.
std::vector<double> carried_back(const Layout& layout, const geometry::ColumnMap& columns,
                                 std::size_t carriage, const std::vector<double>& evidence);

// Regions of the print that a scrape found on any carriage has touched; options.false_alarm_rate is shared
// out over the carriages.
std::vector<streak::Region> search_carriages(const Layout& layout, const geometry::ColumnMap& columns,
                                             const std::vector<double>& evidence,
                                             const streak::RegionOptions& options);

}  // namespace scrapetrace::diagnose
