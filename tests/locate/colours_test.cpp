// Colours that programs change on the way: turned into CMYK and cut down to palettes (Pillow does both).

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>

#include "locate/pages.h"
#include "scan/read_page.h"
#include "scan/write_image.h"
#include "support/oracle.h"

namespace scrapetrace {
namespace {

using testing::bench_chart;

class Colours : public ::testing::Test {
 protected:
  void SetUp() override { std::filesystem::create_directories(folder_); }
  void TearDown() override { std::filesystem::remove_all(folder_); }

  // The sheet in every colour model that recolour.py makes, among them "same.tif".
  void make(bool residue, std::uint64_t seed) {
    Causes causes;
    if (residue) causes = testing::only(testing::residue_at(layout_, 0, Side::right, 1.5, 0.8, 0.3));
    const auto image =
        simulate_scan(layout_, bench_chart(), causes, {}, testing::noisy_scan(seed, 300)).value();
    scan::ImageOptions options;
    options.dpi = image.dpi;
    const std::string same = (folder_ / "same.tif").string();
    ASSERT_TRUE(scan::write_image({image.width_px, image.height_px, image.channels, image.bits, image.pixels},
                                  same, options));
    testing::ask_oracle("locate/recolour.py", same);
  }
  [[nodiscard]] Findings read(const std::string& name) const {
    const std::string path = (folder_ / name).string();
    scan::ReadOptions options;
    options.sheet_mm = bench_chart().sheet_mm;
    const Chart chart = bench_chart();
    return locate(layout_, &chart, {{path, scan::read_page(path, options)}}, {}).findings;
  }

  Layout layout_ = testing::two_way_machine();
  std::filesystem::path folder_ =
      std::filesystem::temp_directory_path() / ("colours_" + std::to_string(getpid()));
};

TEST_F(Colours, ComplementsAreReadLikeTheRgbTheyAreOf) {
  make(true, 31);
  const Findings same = read("same.tif");
  ASSERT_FALSE(same.targets.empty());
  EXPECT_EQ(same.targets[0].head, "1");
  EXPECT_EQ(same.targets[0].side, Side::right);
  for (const char* name : {"cmyk.tif", "cmyk.jpg"}) {
    const Findings found = read(name);
    ASSERT_FALSE(found.targets.empty()) << name;
    EXPECT_EQ(found.targets[0].head, "1") << name;
    EXPECT_EQ(found.targets[0].side, Side::right) << name;
    EXPECT_NEAR(found.targets[0].probability, same.targets[0].probability, 0.05) << name;
    EXPECT_NEAR(found.targets[0].x_drum_mm, same.targets[0].x_drum_mm, 0.03) << name;
  }
}

// Of a palette's few shades streaks are made and unmade; before such pictures were refused, clean sheets had
// targets of 0.99.
TEST_F(Colours, PalettesAreRefusedWithTheRemedy) {
  for (const bool residue : {false, true}) {
    make(residue, residue ? 32 : 33);
    for (const char* name :
         {"median_cut.png", "median_cut_64.png", "octree.png", "web.png", "bilevel.png", "greys_16.png"}) {
      const Findings found = read(name);
      EXPECT_TRUE(found.targets.empty()) << name;
      ASSERT_FALSE(found.scans[0].analysed()) << name;
      EXPECT_EQ(found.scans[0].verdict, QualityVerdict::rescan) << name;
      ASSERT_EQ(found.scans[0].issues, std::vector{ScanIssue::compressed}) << name;
      EXPECT_NE(found.scans[0].reasons[0].find("scan again in full colour"), std::string::npos) << name;
    }
    // All greys there are, and a picture with its contrast raised by four tenths, are no palettes.
    for (const char* name : {"same.tif", "greys.png", "contrast.png"})
      EXPECT_TRUE(read(name).scans[0].analysed()) << name;
  }
}

}  // namespace
}  // namespace scrapetrace
