// A streak in detail: the scan stretched across, and below it the measured and the modelled ink profiles.
// profile measured, with what the model expects drawn through it.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"
#include "report/html_sections.h"
#include "report/profile_axes.h"
#include "report/words.h"

namespace scrapetrace::report {

namespace {

using namespace profile_axes;

constexpr double kCropHeight = 150;
constexpr std::size_t kMostRows = 10;
constexpr double kHalf_mm = 7;  // of the sheet to each side, when there is no crop

Window window_of(const Streak& streak, const ShownStreak& shown) {
  if (shown.crop) return {shown.crop->left_mm, shown.crop->left_mm + shown.crop->width_mm};
  return {streak.x_sheet_mm - kHalf_mm, streak.x_sheet_mm + kHalf_mm};
}

double density(double signal) {
  return -std::log10(std::max(signal, 1e-3));
}

// The drawn quantity: the fraction of ink present or, on bare paper, the added density.
double amount(const Profile& profile, double signal, std::size_t i) {
  const double clean = density(profile.clean[i]);
  if (profile.ink.empty()) return density(signal) - clean;
  return clean > 0.01 ? density(signal) / clean : 1.0;
}

// Zero to a little over full ink; a smaller range for faint streaks.
Scale scale_of(const std::vector<Profile>& profiles, bool paper) {
  double least = 1;
  double most = 0.05;
  for (const Profile& profile : profiles) {
    if (profile.ink.empty() != paper) continue;
    const auto& values = profile.fitted.empty() ? profile.measured : profile.fitted;
    for (std::size_t i = 0; i < values.size(); ++i) {
      least = std::min(least, amount(profile, values[i], i));
      most = std::max(most, amount(profile, values[i], i));
    }
  }
  if (paper) return {-0.25 * most, 1.25 * most};
  if (least > 0.85) return {0.8, 1.1};
  if (least > 0.55) return {0.5, 1.1};
  return {0, 1.1};
}

std::string points_of(const Layout& layout, const Profile& profile, const std::vector<double>& signal,
                      const Window& window, const Scale& scale, double top) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  std::string out;
  for (std::size_t i = 0; i < signal.size(); ++i) {
    const double x = sheet_from_drum.sheet_x(profile.x_drum_mm[i]);
    if (x < window.from_mm || x > window.to_mm) continue;
    out += svg_point(window.px(x), scale.px(amount(profile, signal[i], i), top));
  }
  return out;
}

std::string row_title(const Profile& profile, bool several_scans) {
  std::string out = profile.ink.empty() ? "bare paper: ink too much (density)" : profile.ink + ": ink there";
  if (several_scans) out += fmt::format(" (scan {})", profile.scan + 1);
  return out;
}

void draw_row(Svg& svg, const Layout& layout, const Profile& profile, const Window& window,
              const Scale& scale, double top, const std::string& title) {
  const bool paper = profile.ink.empty();
  draw_grid(svg, scale, paper, top, title);
  svg.polyline(points_of(layout, profile, profile.measured, window, scale, top), {kMeasured, 3});
  if (!profile.fitted.empty())
    svg.polyline(points_of(layout, profile, profile.fitted, window, scale, top), {kModel, 1.3});
}

std::string legend_of(const Streak& streak, const ShownStreak& shown) {
  std::string out;
  if (shown.crop) {
    out += "Top: the scan around the streak over the sheet's whole length, stretched across. ";
  }
  if (shown.profiles.empty()) return out + "There is no profile: the scanner's lines are taken out before.";
  out += "Below: broad pale line, what the scan shows";
  const bool fitted = std::any_of(shown.profiles.begin(), shown.profiles.end(),
                                  [](const Profile& profile) { return !profile.fitted.empty(); });
  out += fitted ? "; fine dark line, what the model expects from all causes found here"
                : "; no model is drawn, because none fits well";
  if (shown.profiles.size() > kMostRows)
    out += fmt::format("; {} profiles of further scans are left out", shown.profiles.size() - kMostRows);
  return out + fmt::format(". Shaded: streak {}.", streak.id);
}

}  // namespace

Markup profile_drawing(const Layout& layout, const Streak& streak, const ShownStreak& shown,
                       LengthUnit unit) {
  if (shown.profiles.empty() && !shown.crop) return {};
  const Window window = window_of(streak, shown);
  const std::size_t rows = std::min(kMostRows, shown.profiles.size());
  const double top = shown.crop ? 8 + kCropHeight : 0;
  const double bottom = top + static_cast<double>(rows) * (kRowHeight + kRowGap);
  Svg svg;
  if (rows > 0)
    draw_extent(svg, {streak.x_sheet_mm - streak.width_mm / 2, streak.x_sheet_mm + streak.width_mm / 2},
                window, top, bottom + 4);
  if (shown.crop) {
    svg.image(kLeft, 4, kRight - kLeft, kCropHeight, shown.crop->png, "href");
    svg.rect(kLeft, 4, kRight - kLeft, kCropHeight, "none", {kGrey, 1});
  }
  const bool several = std::any_of(shown.profiles.begin(), shown.profiles.end(), [&](const Profile& profile) {
    return profile.scan != shown.profiles.front().scan;
  });
  const Scale inked = scale_of(shown.profiles, false);
  const Scale paper = scale_of(shown.profiles, true);
  for (std::size_t i = 0; i < rows; ++i) {
    const Profile& profile = shown.profiles[i];
    draw_row(svg, layout, profile, window, profile.ink.empty() ? paper : inked,
             top + static_cast<double>(i) * (kRowHeight + kRowGap) + kRowGap, row_title(profile, several));
  }
  draw_axis(svg, window, unit, bottom + 6);
  const std::string label =
      fmt::format("Streak {} enlarged, with its profile in {} row{}", streak.id, rows, rows == 1 ? "" : "s");
  const Markup drawing = Markup::trusted(std::move(svg).finish_inline(kWidth, bottom + 46, label));
  return element("figure", drawing + element("figcaption", legend_of(streak, shown)), {{"class", "profile"}});
}

}  // namespace scrapetrace::report
