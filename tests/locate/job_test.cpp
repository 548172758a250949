// A job that gets its scans one at a time finds what locate() finds in all of them, and keeps what it needs.

#include <gtest/gtest.h>

#include "locate/pages.h"
#include "scrapetrace/locate_job.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::noisy_scan;
using testing::only;
using testing::residue_at;
using testing::scanned;
using testing::two_way_machine;

ScanInput blank_page() {
  PageRaster page;
  page.width_px = 400;
  page.height_px = 600;
  page.tag_dpi_across = page.tag_dpi_along = 300;
  page.linear.own().assign(static_cast<std::size_t>(page.blocks()) * 3 * 400, 65535);
  return {"blank.tif", page};
}

struct Case {
  Layout layout = two_way_machine();
  Chart chart = bench_chart();
  std::vector<ScanInput> scans;
  Case() {
    const Causes causes = only(residue_at(layout, 0, Side::right, 1.2, 0.8, 0.5));
    scans = {scanned(layout, causes, noisy_scan(1)), blank_page(), scanned(layout, causes, noisy_scan(2))};
  }
};

TEST(LocateJob, FindsWhatLocateFinds) {
  const Case of;
  const auto together = locate(of.layout, &of.chart, of.scans, {});
  LocateJob job(of.layout, &of.chart, {});
  for (const auto& scan : of.scans) {
    job.add(scan);
    EXPECT_EQ(job.light_bytes(), 0U);
  }
  const auto one_by_one = job.finish();
  ASSERT_FALSE(together.findings.targets.empty());
  ASSERT_EQ(one_by_one.findings.targets.size(), together.findings.targets.size());
  EXPECT_EQ(one_by_one.findings.targets[0].probability, together.findings.targets[0].probability);
  ASSERT_EQ(one_by_one.findings.scans.size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(one_by_one.findings.scans[i].reasons, together.findings.scans[i].reasons);
    EXPECT_EQ(one_by_one.findings.scans[i].analysed(), i != 1);
  }
}

TEST(LocateJob, KeepsNoLightOfWhatCannotBeAnalysed) {
  const Case of;
  LocateJob job(of.layout, &of.chart, {}, LocateJob::Keep::all_light);
  std::size_t kept = 0;
  for (const auto& scan : of.scans) {
    const std::size_t before = job.light_bytes();
    job.add(scan);
    kept += job.light_bytes() > before ? 1 : 0;
  }
  EXPECT_EQ(kept, 2U);
  job.finish();
  const auto scans = job.take_scans();
  ASSERT_EQ(scans.size(), 3U);
  EXPECT_TRUE(scans[0].page.ok() && !scans[0].page->linear.empty());
  EXPECT_FALSE(scans[1].page.ok());
}

TEST(LocateJob, EndsWhenItsTimeIsOver) {
  const Case of;
  LocateOptions options;
  options.until = std::chrono::steady_clock::now() - std::chrono::milliseconds(1);
  LocateJob job(of.layout, &of.chart, options);
  EXPECT_THROW(job.add(of.scans[0]), OutOfTime);
  EXPECT_THROW(locate(of.layout, &of.chart, of.scans, options), OutOfTime);
}

}  // namespace
}  // namespace scrapetrace
