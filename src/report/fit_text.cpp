#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "report/fit_report.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

int digits_of(const std::string& key) {
  if (key.ends_with("first_jet_px")) return 0;
  return key.ends_with("scale_cross") ? 5 : 3;
}

std::string one_key(const FittedKey& key) {
  const std::string name = printable(key.key);
  if (!key.fitted) return fmt::format("{} = {}: {}", name, key_value(key, key.after), printable(key.note));
  std::string out = fmt::format("{} = {}", name, key_value(key, key.after));
  if (key.low < key.high)
    out += fmt::format(" (95 %: {} to {})", key_value(key, key.low), key_value(key, key.high));
  out += fmt::format("; was {}", key_value(key, key.before));
  return key.note.empty() ? out : out + "; " + printable(key.note);
}

std::string keys_section(const LayoutFit& fit, bool fitted) {
  std::string out;
  for (const FittedKey& key : fit.keys) {
    if (key.fitted == fitted) out += wrap("  - ", one_key(key));
  }
  return out;
}

std::string place_lines(const LayoutFit& fit) {
  std::string out;
  for (const FittedPlace& place : fit.places) out += wrap("  - ", place_words(place));
  return out;
}

}  // namespace

std::string key_value(const FittedKey& key, double value) {
  if (key.key.ends_with("mirrored")) return value > 0.5 ? "true" : "false";
  return decimals(value, digits_of(key.key));
}

std::string place_words(const FittedPlace& place) {
  if (!place.against.empty()) {
    return fmt::format("{}: LEFT OUT: it and {} contradict each other, and nothing tells which is wrong",
                       printable(place.name), printable(place.against));
  }
  const std::string off = fmt::format("{}: {} mm off (+-{} expected)", printable(place.name),
                                      decimals(place.residual_mm, 3), decimals(place.sigma_mm, 3));
  if (!place.used) return off + "; LEFT OUT: not what it was taken for";
  return place.checked ? off : printable(place.name) + ": fits by itself, nothing else checks it";
}

std::string fit_sentence(const LayoutFit& fit) {
  const auto fitted =
      std::count_if(fit.keys.begin(), fit.keys.end(), [](const auto& key) { return key.fitted; });
  const auto left_out =
      std::count_if(fit.places.begin(), fit.places.end(), [](const auto& place) { return !place.used; });
  std::string out = fmt::format("{} keys of {} determined from {} known place{}", fitted, fit.keys.size(),
                                fit.places.size(), fit.places.size() == 1 ? "" : "s");
  return left_out == 0 ? out + "." : out + fmt::format(", {} of them left out as wrong.", left_out);
}

std::string noise_words(const LayoutFit& fit) {
  if (!fit.noise_from_residuals) {
    return fmt::format(
        "Intervals rest on the sigmas stated: {} degree{} of freedom are too few to judge them.",
        fit.degrees_of_freedom, fit.degrees_of_freedom == 1 ? "" : "s");
  }
  return fmt::format(
      "The residuals spread {} times as much as the sigmas stated; intervals rest on that ({} degrees "
      "of freedom).",
      decimals(fit.noise, 2), fit.degrees_of_freedom);
}

std::span<const std::string_view> keys_beyond_places() {
  static constexpr std::array<std::string_view, 8> kTables{"drum", "raster",  "interleave", "travel",
                                                           "jets", "rotated", "inks",       "zones"};
  return kTables;
}

std::string fit_text(const LayoutFit& fit) {
  std::string out = wrap("", fit_sentence(fit));
  out += "\nDetermined\n" + keys_section(fit, true);
  if (const auto kept = keys_section(fit, false); !kept.empty())
    out += "\nNot determined, kept from the starting layout\n" + kept;
  std::string beyond;
  for (const auto name : keys_beyond_places()) beyond += (beyond.empty() ? "" : ", ") + std::string(name);
  out += wrap("  - ", beyond + ": places like these say nothing of them.");
  std::string left_over;
  for (const FittedHead& head : fit.heads) {
    if (std::abs(head.left_over_mm) >= 0.005)
      left_over +=
          wrap("  - ", fmt::format("head {}: {} mm", printable(head.head), decimals(head.left_over_mm, 3)));
  }
  if (!left_over.empty())
    out += "\nBeyond whole columns and the carriage's offset, so not written\n" + left_over;
  out += "\nPlaces\n" + place_lines(fit);
  return out + '\n' + wrap("", noise_words(fit));
}

std::string fit_remark(const LayoutFit& fit) {
  std::string out = fit_sentence(fit);
  for (const FittedKey& key : fit.keys) out += '\n' + one_key(key);
  return out;
}

}  // namespace scrapetrace::report
