#include "scrapetrace/located_scans.h"

#include <utility>

#include "scrapetrace/locate_job.h"

namespace scrapetrace {

LocatedScans locate_and_keep(const Layout& layout, const Chart* chart, std::vector<ScanInput> scans,
                             const LocateOptions& options) {
  LocateJob job(layout, chart, options, LocateJob::Keep::all_light);
  for (ScanInput& scan : scans) job.add(std::move(scan));
  LocatedScans out;
  out.result = job.finish();
  out.scans = job.take_scans();
  return out;
}

}  // namespace scrapetrace
