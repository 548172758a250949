#include "quality/pixel_issues.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace scrapetrace::quality {

namespace {

constexpr std::size_t kLight = 200;  // sRGB code from which a pixel may be paper
constexpr std::size_t kNearlyWhite = 240;
constexpr double kWhitened = 0.03;      // nearly white relative to full white; noise leaves far more
constexpr double kOverexposed = 0.25;   // of the light pixels at full white
constexpr double kBlackened = 0.01;     // of all pixels at 0 in one channel
constexpr double kCoarseTables = 13.0;  // code values; about quality 70 of the usual scale
constexpr double kBlocky = 3.0;  // JPEG of quality 92 has about 1.8 on even patches, quality 50 about 5

constexpr double kHiding = 15.0;  // code values; about quality 60, where rendered streaks start to be missed
constexpr double kFineTables = 2.5;     // about quality 93: rounding is below the scanner's noise
constexpr double kLossPerCode = 0.012;  // of a solid of density 1, whose code is about 80
constexpr double kOfColumns = 0.1;      // of the rounding: the part common to a block's column
constexpr double kPixelStandsOut = 5.5;
constexpr double kBlock_px = 16;  // with chroma subsampling

struct Channel {
  double all = 0;
  double light = 0;
  double nearly = 0;
  double full = 0;
  double nought = 0;
};

Channel count(const std::array<std::uint64_t, 256>& codes) {
  Channel out;
  for (std::size_t code = 0; code < codes.size(); ++code) {
    out.all += static_cast<double>(codes[code]);
    if (code >= kLight) out.light += static_cast<double>(codes[code]);
    if (code >= kNearlyWhite && code + 1 < codes.size()) out.nearly += static_cast<double>(codes[code]);
  }
  out.full = static_cast<double>(codes.back());
  out.nought = static_cast<double>(codes.front());
  return out;
}

std::string percent(double share) {
  return std::to_string(std::lround(100 * share)) + " %";
}

}  // namespace

double blockiness(const PixelStatistics& pixels) {
  const auto mean = [](const PixelStatistics::Steps& s) { return s.count > 0 ? s.sum / s.count : 0; };
  double inside = 0;
  for (std::size_t phase = 1; phase < pixels.steps.size(); ++phase) inside += mean(pixels.steps[phase]) / 7;
  const double border = mean(pixels.steps[0]);
  if (border <= 0) return 1;
  return inside > 0 ? border / inside : 1e9;
}

std::optional<Issue> hides_streaks(const PixelStatistics& pixels) {
  if (pixels.quantisation_sigma <= kHiding) return std::nullopt;
  return Issue{
      ScanIssue::compressed,
      "keeps too little of the light's shades (strong compression, or a palette of few colours), so that "
      "real streaks vanish and false ones appear: scan again in full colour or grey and save as TIFF or PNG, "
      "or as JPEG of the highest quality; saving this picture anew does not help"};
}

double coder_smear_px(const PixelStatistics& pixels) {
  return pixels.quantisation_sigma > kFineTables ? kBlock_px : 0;
}

double finest_beside_coder_px(const PixelStatistics& pixels) {
  const double column_codes = kOfColumns * pixels.quantisation_sigma;
  return kPixelStandsOut * kLossPerCode * column_codes * coder_smear_px(pixels);
}

std::vector<Issue> pixel_issues(const PixelStatistics& pixels) {
  std::vector<Issue> out;
  double whitest = 1;  // fraction of light pixels at full white, in the channel with the fewest
  double blackest = 0;
  bool gap = true;  // below full white, in every channel
  for (const auto& codes : pixels.codes) {
    const Channel c = count(codes);
    if (c.all <= 0) return out;
    whitest = std::min(whitest, c.light > 0 ? c.full / c.light : 0);
    gap = gap && c.nearly < kWhitened * c.full;
    blackest = std::max(blackest, c.nought / c.all);
  }
  if (whitest >= kOverexposed && gap) {
    out.push_back(
        {ScanIssue::enhanced,
         "the paper is full white throughout, as background whitening leaves it, so that only plain streaks "
         "were looked for: switch off automatic "
         "enhancement in the scanning program and scan again"});
  } else if (whitest >= kOverexposed) {
    out.push_back({ScanIssue::clipped,
                   percent(whitest) + " of the light pixels are full white, so that haze and pale ink do not "
                                      "show: lower the scanner's brightness and scan again"});
  }
  if (blackest >= kBlackened) {
    out.push_back(
        {ScanIssue::clipped, percent(blackest) +
                                 " of the pixels are black to the stop in one channel, so that ink missing "
                                 "there does not show: raise the scanner's brightness or lower its contrast "
                                 "and scan again"});
  }
  if (pixels.quantisation_sigma > kCoarseTables || blockiness(pixels) > kBlocky) {
    out.push_back(
        {ScanIssue::compressed,
         "the image is strongly compressed, which hides faint streaks: save it as TIFF or PNG, or as JPEG "
         "of the highest quality"});
  }
  return out;
}

}  // namespace scrapetrace::quality
