// A resolution that a user mistyped: believed, it moves every streak to another head.

#include <gtest/gtest.h>

#include "page/tagged.h"
#include "scrapetrace/locate.h"
#include "support/raster_of.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::noisy_scan;

ScanReport report_of(const PageRaster& page, const Chart* chart, double dpi) {
  LocateOptions options;
  options.dpi = dpi;
  return locate(bench_machine(), chart, {ScanInput{"page.png", page}}, options).findings.scans.front();
}

std::string words_of(const ScanReport& report) {
  std::string out;
  for (const auto& reason : report.reasons) out += reason + "; ";
  return out;
}

// Refused, and the refusal tells what was given and what the page shows.
void expect_refused(const ScanReport& report, const std::string& given, const std::string& shown) {
  EXPECT_FALSE(report.analysed()) << given;
  EXPECT_EQ(report.verdict, QualityVerdict::rescan);
  const std::string words = words_of(report);
  EXPECT_NE(words.find("--dpi"), std::string::npos) << given << ": " << words;
  EXPECT_NE(words.find(given), std::string::npos) << given << ": " << words;
  EXPECT_NE(words.find(shown), std::string::npos) << given << ": " << words;
}

PageRaster tag_page() {
  return testing::raster_of(bench_machine(), testing::tagged_chart(), {}, {}, noisy_scan(3, 300));
}

PageRaster plain_page(double dpi = 300) {
  return testing::raster_of(bench_machine(), bench_chart(), {}, {}, noisy_scan(3, dpi));
}

TEST(MistypedDpi, IsRefusedByThePrintedTags) {
  const Chart chart = testing::tagged_chart();
  PageRaster page = tag_page();
  for (const char* dpi : {"3000", "600", "310", "150", "75"}) {
    SCOPED_TRACE(dpi);
    expect_refused(report_of(page, &chart, std::stod(dpi)), dpi, "300 x 300 dpi");
  }
  page.tag_dpi_across = page.tag_dpi_along = 0;
  expect_refused(report_of(page, &chart, 600), "600", "300 x 300 dpi");
  const ScanReport right = report_of(page, &chart, 300);
  ASSERT_TRUE(right.analysed()) << words_of(right);
  EXPECT_EQ(right.registration->dpi_source, "option");
}

TEST(MistypedDpi, IsRefusedByTheChart) {
  const Chart chart = bench_chart();
  const PageRaster page = plain_page();
  for (const char* dpi : {"3000", "600", "400", "310", "200", "150", "75"}) {
    SCOPED_TRACE(dpi);
    expect_refused(report_of(page, &chart, std::stod(dpi)), dpi, "300 x 300 dpi");
  }
  EXPECT_TRUE(report_of(page, &chart, 300).analysed());
}

TEST(MistypedDpi, IsRefusedByTheSizeOfSheetAndHeads) {
  PageRaster page = plain_page(600);
  for (const double tag : {600.0, 0.0}) {
    page.tag_dpi_across = page.tag_dpi_along = tag;
    expect_refused(report_of(page, nullptr, 6000), "6000", "mm");
    expect_refused(report_of(page, nullptr, 300), "300", "mm");
    EXPECT_TRUE(report_of(page, nullptr, 600).analysed());
  }
}

TEST(MistypedDpi, LosesToThePrintWhenTheFileStatesIt) {
  const Chart chart = testing::tagged_chart();
  PageRaster page = tag_page();
  page.tag_dpi_across = page.tag_dpi_along = 600;
  const ScanReport report = report_of(page, &chart, 0);
  ASSERT_TRUE(report.analysed());
  EXPECT_EQ(report.verdict, QualityVerdict::limited);
  EXPECT_NE(words_of(report).find("its tags say 600 x 600 dpi, but the print measures 300 x 300"),
            std::string::npos)
      << words_of(report);
  EXPECT_NEAR(report.registration->scale_x, 1, 0.005);
}

}  // namespace
}  // namespace scrapetrace
