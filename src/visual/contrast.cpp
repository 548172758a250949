#include "visual/contrast.h"

#include <algorithm>
#include <cmath>

#include "scrapetrace/sight.h"
#include "visual/sensitivity.h"

namespace scrapetrace::visual {

namespace {

constexpr double kReach_mm = 12;  // the ringing of a step is negligible beyond

// Built once, in about ten milliseconds.
const StripeFilter& reading_eye() {
  static const StripeFilter eye(barten_weight(kReadingLuminance_cd_m2), kReadingDistance_mm, kReach_mm);
  return eye;
}

// Lightness difference, and colour difference with its sign.
struct Differences {
  std::vector<double> lightness;
  std::vector<double> colour;

  void add(const Lab& beside, const Lab& here, double sign) {
    lightness.push_back(here.l - beside.l);
    colour.push_back(std::copysign(delta_e_2000(beside, here), sign));
  }
};

Differences differences(const Layout& layout, const Print& print, const Profile& profile) {
  std::vector<double> kept(print.inks.size(), 1.0);
  const Lab beside = colour_of(layout, print, kept, 0);
  Differences out;
  for (const double loss : profile.loss) {
    for (std::size_t i = 0; i < kept.size(); ++i)
      kept[i] = profile.ink && *profile.ink != print.inks[i] ? 1 : 1 - loss;
    out.add(beside, colour_of(layout, print, kept, 0), loss);
  }
  kept.assign(kept.size(), 1.0);
  for (const double added : profile.added) out.add(beside, colour_of(layout, print, kept, added), -added);
  return out;
}

}  // namespace

double contrast_of(const Layout& layout, const std::vector<Print>& prints, const Profile& profile) {
  double most = 0;
  for (const Print& print : prints) {
    const Differences across = differences(layout, print, profile);
    for (const auto* difference : {&across.lightness, &across.colour})
      most = std::max(most, reading_eye().peak_response(*difference, profile.pitch_mm));
  }
  return most;
}

}  // namespace scrapetrace::visual
