#pragma once
// When a person sees a streak: one measure and one threshold, for every command.
//
// The contrast of a streak is the largest response of the eye's filter (Barten, Proc. SPIE 5294, 2003, its
// peak made 1) to the lightness or the colour difference across it, L* or CIEDE2000, in those of the inks
// printed that show it best.

namespace scrapetrace {

inline constexpr double kReadingDistance_mm = 350;
inline constexpr double kReadingLuminance_cd_m2 = 100;

// A streak of 0.2 L* can already be objectionable (Rasmussen, J. Electron. Imaging 19(1) 011017, 2010; the
// value as quoted by others, the paper was not at hand). Fainter ones no eye sees.
inline constexpr double kLeastContrast = 0.2;

}  // namespace scrapetrace
