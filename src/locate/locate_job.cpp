#include "scrapetrace/locate_job.h"

#include <utility>

#include "base/time_limit.h"
#include "locate/locate_prepared.h"

namespace scrapetrace {

namespace {

using locate_detail::Ways;

bool can_be_analysed(const Ways& ways) {
  return ways.front().prepared.has_value();
}

void let_light_go(ScanInput& scan) {
  if (!scan.page.ok()) return;
  PageRaster page = std::move(scan.page).value();
  page.linear = Light();
  scan.page = std::move(page);
}

}  // namespace

struct LocateJob::Parts {
  const Layout& layout;
  const Chart* chart;
  LocateOptions options;
  bool keeps_light;
  std::vector<ScanInput> inputs;
  std::vector<Ways> ways;
  std::vector<Ways> ways_before;

  Ways prepared(const ScanInput& scan, std::size_t index) const {
    const TimeLimit limit(options.until);
    TimeLimit::check();
    return locate_detail::prepare_ways(layout, chart, scan, index, options);
  }
};

LocateJob::LocateJob(const Layout& layout, const Chart* chart, const LocateOptions& options, Keep keep)
    : parts_(new Parts{layout,
                       chart,
                       options,
                       keep == Keep::all_light || options.thumbnails || options.evidence,
                       {},
                       {},
                       {}}) {}
LocateJob::LocateJob(LocateJob&&) noexcept = default;
LocateJob& LocateJob::operator=(LocateJob&&) noexcept = default;
LocateJob::~LocateJob() = default;

void LocateJob::add(ScanInput scan) {
  auto ways = parts_->prepared(scan, parts_->inputs.size());
  if (scan.page.ok() && !can_be_analysed(ways)) {
    const auto& reasons = ways.front().report.reasons;
    scan.page = Problem{scan.file, 0, 0, reasons.empty() ? std::string() : reasons.back()};
  }
  if (!parts_->keeps_light) let_light_go(scan);
  parts_->ways.push_back(std::move(ways));
  parts_->inputs.push_back(std::move(scan));
}

void LocateJob::add_before(const ScanInput& scan) {
  parts_->ways_before.push_back(parts_->prepared(scan, parts_->ways_before.size()));
}

std::size_t LocateJob::light_bytes() const {
  std::size_t bytes = 0;
  for (const ScanInput& scan : parts_->inputs) {
    if (scan.page.ok()) bytes += scan.page->linear.size() * sizeof(std::uint16_t);
  }
  return bytes;
}

std::vector<ScanInput> LocateJob::take_scans() {
  return std::move(parts_->inputs);
}

LocateResult LocateJob::finish() {
  const TimeLimit limit(parts_->options.until);
  auto ways = std::move(parts_->ways);
  for (auto& scan : parts_->ways_before) ways.push_back(std::move(scan));
  return locate_detail::locate_prepared(parts_->layout, std::move(ways), parts_->inputs, parts_->options);
}

}  // namespace scrapetrace
