// Well-formedness is judged by libxml2's xmllint, outside the project.
#include "report/picture_svg.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <limits>
#include <regex>

#include "report/sample.h"

namespace scrapetrace::report {
namespace {

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

std::vector<std::optional<EncodedThumbnail>> thumbnails() {
  return {EncodedThumbnail{"\x89PNG\r\n", -3, -3, 326, 456}};
}

bool well_formed(const std::string& svg) {
  const auto path = std::filesystem::path(testing::TempDir()) /
                    ("scrapetrace_picture_" + std::to_string(getpid()) + ".svg");
  std::ofstream(path, std::ios::binary) << svg;
  const int status = std::system(("xmllint --noout '" + path.string() + "'").c_str());
  std::filesystem::remove(path);
  return status == 0;
}

// x of the last text element with this content: rulers number the page's side first, then across.
double text_x(const std::string& svg, const std::string& content) {
  const std::regex pattern("<text x=\"([-0-9.]+)\"[^>]*>" + content + "</text>");
  double x = -1;
  for (std::sregex_iterator it(svg.begin(), svg.end(), pattern); it != std::sregex_iterator(); ++it) {
    x = std::stod((*it)[1]);
  }
  return x;
}

TEST(PictureSvg, IsWellFormedWhateverTheNames) {
  Findings findings = sample::findings();
  Layout layout = sample::layout();
  layout.name = "a<b>&\"c\" \x01 \xFF";
  layout.carriages[0].name = "<high>";
  findings.scans[0].file = "]]>&amp;.tif";
  EXPECT_TRUE(well_formed(picture_svg(layout, findings, thumbnails())));
  EXPECT_TRUE(well_formed(picture_svg(layout, Findings{}, {})));
  EXPECT_FALSE(well_formed("<svg><text>a<b</text></svg>"));  // the judge does judge
}

TEST(PictureSvg, CarriesTheAnswerTheCautionsAndTheTargets) {
  const std::string svg = picture_svg(sample::layout(), sample::findings(), thumbnails());
  EXPECT_TRUE(holds(svg, "Clean head 3, left side, faceplate first (82 %)."));
  EXPECT_TRUE(holds(svg, "#1 head 3 left, faceplate 82 %"));
  EXPECT_TRUE(holds(svg, "#2 head 2 right, faceplate 11 %"));
  EXPECT_TRUE(holds(svg, "CAUTION:"));
  EXPECT_TRUE(holds(svg, "not checked: hatched"));
  EXPECT_TRUE(holds(svg, "data:image/png;base64,iVBORw0K"));
}

TEST(PictureSvg, MirrorsTheHeadsWithTheTransfer) {
  Layout layout = sample::layout();
  const std::string mirrored = picture_svg(layout, sample::findings(), thumbnails());
  ASSERT_GT(text_x(mirrored, "head 1"), 0);
  EXPECT_GT(text_x(mirrored, "head 1"), text_x(mirrored, "head 3"));
  layout.transfer = {false, 1.0, 5.0};
  const std::string straight = picture_svg(layout, sample::findings(), thumbnails());
  EXPECT_LT(text_x(straight, "head 1"), text_x(straight, "head 3"));
}

TEST(PictureSvg, DrawsPageAndHeadsToOneScale) {
  PictureOptions options;
  options.sheet_mm = {{320, 450}};
  const std::string svg = picture_svg(sample::layout(), sample::findings(), thumbnails(), options);
  const double px_per_mm = (text_x(svg, "200") - text_x(svg, "100")) / 100;
  // Head 3's middle: X = (2546 + 127 * 10 / 2 + 0.5) columns of 25.4 / 400 mm, sheet x = 325 - X.
  const double expected_mm = 325 - (2546 + 635 + 0.5) * 25.4 / 400;
  EXPECT_NEAR((text_x(svg, "head 3") - text_x(svg, "100")) / px_per_mm + 100, expected_mm, 0.05);
}

TEST(PictureSvg, StepsHeadsThatOverlapOnOneCarriage) {
  Layout layout = sample::layout();
  const auto top_of = [&](const std::string& head) {
    const std::string svg = picture_svg(layout, sample::findings(), thumbnails());
    const std::regex pattern("y=\"([-0-9.]+)\"[^>]*>" + head + "</text>");
    std::smatch match;
    return std::regex_search(svg, match, pattern) ? std::stod(match[1]) : -1;
  };
  EXPECT_EQ(top_of("head 1"), top_of("head 3"));
  layout.heads[2].first_jet_px = 1300;  // its first jets stand over head 1's last
  EXPECT_GT(top_of("head 3"), top_of("head 1"));
}

TEST(PictureSvg, SaysCouldNotLookWithoutAPage) {
  Findings failed;
  failed.scans.resize(1);
  const std::string svg = picture_svg(sample::layout(), failed, {std::nullopt});
  EXPECT_TRUE(holds(svg, "Could not look"));
  EXPECT_TRUE(holds(svg, "no picture of the page"));
}

TEST(PictureSvg, NeverWritesNan) {
  Findings findings = sample::findings();
  findings.streaks[0].x_sheet_mm = std::numeric_limits<double>::quiet_NaN();
  findings.targets[0].x_drum_mm = std::numeric_limits<double>::infinity();
  const std::string svg = picture_svg(sample::layout(), findings, thumbnails());
  EXPECT_FALSE(holds(svg, "nan"));
  EXPECT_FALSE(holds(svg, "\"inf"));
}

}  // namespace
}  // namespace scrapetrace::report
