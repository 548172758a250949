#pragma once
// A layout for a machine never seen (layout_fit.h), from scans of a print with jets switched off, with or
// without places that were measured on a print by hand.

#include <string>
#include <vector>

#include "scrapetrace/layout_fit.h"
#include "scrapetrace/located_scans.h"

namespace scrapetrace {

// For a transfer that does not mirror and for one that does: which streak is which jet may depend on it.
struct KnownPlaces {
  std::vector<KnownPlace> if_not;
  std::vector<KnownPlace> if_mirrored;
  std::vector<std::string> missing;  // jets whose gap was not seen whole, by name; they are left out
  LayoutFitOptions options;          // how sure the scans are of their own places
};

// The layout to locate such scans with: what `start` is off by is to be found, so none of it may be taken for
// tolerable.
Layout layout_to_fit(const Layout& start);

// One problem per jet that `start` does not have: "HEAD:JET" in Problem::file, what is allowed in `what`.
Problems unknown_jets(const Layout& start, const std::vector<KnownJet>& jets);

// Where the gaps of `jets` lie on each of the scans, which were located with layout_to_fit(start). Fails on
// jets that `start` does not have, and when a scan could not be placed.
Result<KnownPlaces> places_of_jets(const Layout& start, const Chart* chart, const std::vector<KnownJet>& jets,
                                   const LocatedScans& located, const LocateOptions& options);

// Places known otherwise join those of the scans.
void add_places(KnownPlaces& known, const std::vector<KnownPlace>& places);

// fit_layout() for whichever way of transfer is likelier; where neither is sure (1 %), for `start`'s.
Result<LayoutFit> fit_layout(const Layout& start, const KnownPlaces& known);

// The whole way: locate the scans, find the gaps, fit.
struct FittedScans {
  LayoutFit fit;
  std::vector<std::string> missing;  // as in KnownPlaces
};
Result<FittedScans> fit_layout_to_scans(const Layout& start, const Chart* chart,
                                        const std::vector<KnownJet>& jets, std::vector<ScanInput> scans,
                                        const std::vector<KnownPlace>& seen = {},
                                        const LocateOptions& options = {});

}  // namespace scrapetrace
