#pragma once
// scrapetrace layout fit: a layout for a machine never seen.

#include <string>
#include <vector>

#include "cli/evidence.h"

namespace scrapetrace::cli {

struct LayoutFitRequest {
  EvidenceRequest evidence;      // its layout is the one to start from
  std::string seen;              // file of known places
  std::vector<std::string> off;  // HEAD:JET, jets switched off on the scans
  std::vector<std::string> scans;
  std::string out;
};

SheetPart layout_fit_part();
void offer_layout_fit(Options& options, LayoutFitRequest& request);
// `--off JET... SCAN...` may end with the scans.
void take_scans_after_jets(LayoutFitRequest& request);
// As one sentence; empty when nothing is.
std::string wrong_with(LayoutFitRequest& request);
ExitStatus fit_layout_to(const LayoutFitRequest& request);

}  // namespace scrapetrace::cli
