#include "visual/contrast.h"

#include <gtest/gtest.h>

#include <cmath>

#include "report/sample.h"
#include "scrapetrace/sight.h"
#include "visual/sensitivity.h"

namespace scrapetrace::visual {
namespace {

// A grey whose lightness is that of a neutral solid, from CIE 15: L* = 116 Y^(1/3) - 16.
double lightness(double density) {
  return 116 * std::cbrt(std::pow(10, -density)) - 16;
}

Profile box(double loss, double width_mm) {
  Profile out;
  out.pitch_mm = 0.05;
  out.loss.assign(static_cast<std::size_t>(std::lround(width_mm / out.pitch_mm)), loss);
  return out;
}

// Of a neutral ink the contrast is the eye's response to the lightness difference: the sample's black, 1.3.
TEST(Contrast, OfANeutralInkIsItsLightnessThroughTheFilter) {
  const Layout layout = sample::layout();
  const Print black{{1}, 1};
  const StripeFilter eye(barten_weight(kReadingLuminance_cd_m2), kReadingDistance_mm, 4);
  for (const double loss : {0.01, 0.1, 0.5}) {
    const double step = lightness(1.3 * (1 - loss)) - lightness(1.3);
    const std::vector<double> profile(20, step);
    EXPECT_NEAR(contrast_of(layout, {black}, box(loss, 1)), eye.peak_response(profile, 0.05), 0.01 * step)
        << loss;
  }
}

TEST(Contrast, GrowsWithLossAndIsTheMostThatAnyPrintShows) {
  const Layout layout = sample::layout();
  const Print cyan{{0}, 1};
  const Print black{{1}, 1};
  const Print pale{{1}, 0.2};
  double last = 0;
  for (const double loss : {0.002, 0.01, 0.05, 0.3}) {
    const double now = contrast_of(layout, {cyan}, box(loss, 0.5));
    EXPECT_GT(now, last);
    last = now;
  }
  const Profile streak = box(0.05, 0.5);
  EXPECT_DOUBLE_EQ(contrast_of(layout, {cyan, black, pale}, streak),
                   std::max({contrast_of(layout, {cyan}, streak), contrast_of(layout, {black}, streak),
                             contrast_of(layout, {pale}, streak)}));
  EXPECT_EQ(contrast_of(layout, {}, streak), 0);
}

// A per mille of the ink is nothing that anybody sees; a tenth of it is.
TEST(Contrast, AThousandthOfTheInkIsTooFaintToSee) {
  const Layout layout = sample::layout();
  const Print black{{1}, 1};
  EXPECT_LT(contrast_of(layout, {black}, box(0.001, 1.5)), kLeastContrast);
  EXPECT_GT(contrast_of(layout, {black}, box(0.1, 1.5)), kLeastContrast);
}

// An ink that is whole hides nothing of another that is not; one that the print lacks cannot go missing.
TEST(Contrast, OfOneInkIsThatOfThePrintsThatHoldIt) {
  const Layout layout = sample::layout();
  Profile streak = box(0.4, 0.3);
  streak.ink = 0;
  EXPECT_EQ(contrast_of(layout, {Print{{1}, 1}}, streak), 0);
  EXPECT_GT(contrast_of(layout, {Print{{0, 1}, 1}}, streak), 0);
}

TEST(Contrast, AddedDensityShowsOnBarePaper) {
  Profile haze;
  haze.pitch_mm = 0.05;
  haze.added.assign(20, 0.03);
  const double step = lightness(0) - lightness(0.03);
  EXPECT_NEAR(contrast_of(sample::layout(), {Print{}}, haze), step, 0.5 * step);
}

}  // namespace
}  // namespace scrapetrace::visual
