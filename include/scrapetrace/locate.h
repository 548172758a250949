#pragma once
// From scans of one machine in one state to a ranked list of cleaning targets.

#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/chart.h"
#include "scrapetrace/evidence.h"
#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/out_of_time.h"
#include "scrapetrace/page.h"
#include "scrapetrace/result.h"
#include "scrapetrace/stages.h"

namespace scrapetrace {

// A page to analyse, or why it could not be read.
struct ScanInput {
  std::string file;
  Result<PageRaster> page;
};

struct LocateOptions {
  double dpi = 0;                      // of the scans; 0: from their tags, else from the chart's sheet size
  double false_alarm_rate = 0.01;      // expected false streaks per page, (0, 1)
  bool thumbnails = false;             // make the small pictures
  std::optional<ImageSide> lead_edge;  // where the sheet's lead edge lies in the scans, when known
  std::optional<bool> mirrored;        // whether the scans are mirror images of the sheets, when known
  bool evidence = false;               // keep profiles and crops of the streaks
  bool faint_too = false;              // streaks that no eye sees name targets, too, instead of traces
  bool same_sheet = false;             // the scans are all of one sheet: its paper's and ink's noise repeats
  // Scans of the same machine from before the work on it, not owned; none: null. What they show already is
  // not new, and the jets' fixed pattern is learnt from them and taken out.
  const std::vector<ScanInput>* before = nullptr;
  int threads = 0;                  // to work on; 0: as many as the processor runs at once
  StageListener* stages = nullptr;  // not owned; told what begins and ends
  // Work beyond it ends with OutOfTime, soon after.
  TimePoint until = TimePoint::max();
};

struct LocateResult {
  Findings findings;
  std::vector<std::optional<Thumbnail>> thumbnails;  // one per scan when asked for, empty for failed scans
  std::vector<StreakEvidence> evidence;              // one per streak of the findings when asked for
};

// Never fails as a whole: a scan that cannot be analysed says why in its ScanReport, the others are still
// analysed. `chart` may be null: patches are then found from the scans.
LocateResult locate(const Layout& layout, const Chart* chart, const std::vector<ScanInput>& scans,
                    const LocateOptions& options);

}  // namespace scrapetrace
