// Resolution tags: believed, left aside, or contradicted by other tags of the same file.

#include "pictures.h"
#include "scan/resolution_tags.h"

namespace scrapetrace::scan {
namespace {

class Resolution : public ReadPageTest {};

TEST(BelievableDpi, LeavesOutStandIns) {
  EXPECT_EQ(believable_dpi(1), 0);          // libvips' "unknown"
  EXPECT_EQ(believable_dpi(72 / 25.4), 0);  // cameras and screens
  EXPECT_EQ(believable_dpi(2.83), 0);       // 72 dpi rounded to hundredths
  EXPECT_EQ(believable_dpi(96 / 25.4), 0);  // what screen programs write into JFIF headers
  EXPECT_EQ(believable_dpi(0), 0);
  EXPECT_EQ(believable_dpi(std::nan("")), 0);
  EXPECT_EQ(believable_dpi(20000 / 25.4), 0);
  EXPECT_NEAR(believable_dpi(300 / 25.4), 300, 1e-9);
  EXPECT_NEAR(believable_dpi(75 / 25.4), 75, 1e-9);
  EXPECT_NEAR(believable_dpi(4800 / 25.4), 4800, 1e-9);
}

TEST_F(Resolution, ResolutionTagsAreTakenOrNot) {
  const Picture p = picture(1, 8);
  for (const std::string suffix : {".tif", ".png", ".jpg"}) {
    ImageOptions options;
    for (const auto& [dpi, taken] : {std::pair{600.0, 600.0}, {72.0, 0.0}, {400.0, 400.0}}) {
      options.dpi = dpi;
      const auto page = read(write(p, "a" + suffix, options));
      EXPECT_NEAR(page.tag_dpi_across, taken, 0.1) << suffix;
      EXPECT_NEAR(page.tag_dpi_along, taken, 0.1) << suffix;
    }
    options.resolution_tags = false;
    EXPECT_EQ(read(write(p, "none" + suffix, options)).tag_dpi_across, 0) << suffix;
  }
}

TEST_F(Resolution, TagsMayDifferAcrossAndAlong) {
  const auto image = vips_image(picture(3, 8)).copy(vips::VImage::option()->set("yres", 600 / 25.4));
  image.tiffsave(in_folder("a.tif").c_str());
  const auto upright = read(in_folder("a.tif"));
  EXPECT_NEAR(upright.tag_dpi_across, 300, 0.01);
  EXPECT_NEAR(upright.tag_dpi_along, 600, 0.01);
  EXPECT_EQ(upright.tag_conflict, "its tags say 300 dpi one way and 600 dpi the other");
  const auto across = read(in_folder("a.tif"), for_sheet(30.0, 20.0));
  ASSERT_TRUE(across.transposed);
  EXPECT_NEAR(across.tag_dpi_across, 600, 0.01);
  EXPECT_NEAR(across.tag_dpi_along, 300, 0.01);
}

TEST_F(Resolution, OrientationTurnsTheResolutionToo) {
  auto image = vips_image(picture(3, 8)).copy(vips::VImage::option()->set("yres", 600 / 25.4));
  image.set("orientation", 6);
  image.tiffsave(in_folder("a.tif").c_str());
  const auto page = read(in_folder("a.tif"));
  EXPECT_NEAR(page.tag_dpi_across, 600, 0.01);
  EXPECT_NEAR(page.tag_dpi_along, 300, 0.01);
}

// JPEG files written by Pillow, with a JFIF density and an Exif one.
TEST_F(Resolution, ExifAndJfifMustAgree) {
  ASSERT_TRUE(ask_oracle("scan/make_files.py", "densities " + folder_.string()).empty());
  const auto agreeing = read(in_folder("agree.jpg"));
  EXPECT_NEAR(agreeing.tag_dpi_across, 300, 0.01);
  EXPECT_EQ(agreeing.tag_conflict, "");
  const auto contradicting = read(in_folder("contradict.jpg"));
  EXPECT_EQ(contradicting.tag_dpi_across, 0);
  EXPECT_EQ(contradicting.tag_conflict, "its Exif data say 600 dpi and its JFIF header says 300 dpi");
  // 72 dpi is what cameras write when they have nothing to say.
  const auto placeholder = read(in_folder("placeholder.jpg"));
  EXPECT_NEAR(placeholder.tag_dpi_across, 300, 0.01);
  EXPECT_EQ(placeholder.tag_conflict, "");
}

TEST_F(Resolution, ATiffWithoutAUnitHasNone) {
  ASSERT_TRUE(ask_oracle("scan/make_files.py", "units " + folder_.string()).empty());
  EXPECT_NEAR(read(in_folder("inch.tif")).tag_dpi_across, 300, 0.01);
  EXPECT_NEAR(read(in_folder("centimetre.tif")).tag_dpi_across, 300, 0.3);
  EXPECT_EQ(read(in_folder("no_unit.tif")).tag_dpi_across, 0);
  EXPECT_EQ(read(in_folder("no_tag.tif")).tag_dpi_across, 0);
}

}  // namespace
}  // namespace scrapetrace::scan
