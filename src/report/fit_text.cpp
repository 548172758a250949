#include "report/fit_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

int digits_of(const std::string& key) {
  if (key.ends_with("first_jet_px")) return 0;
  return key.ends_with("scale_cross") ? 5 : 3;
}

std::string value_of(const FittedKey& key, double value) {
  if (key.key.ends_with("mirrored")) return value > 0.5 ? "true" : "false";
  return decimals(value, digits_of(key.key));
}

std::string one_key(const FittedKey& key) {
  const std::string name = printable(key.key);
  if (!key.fitted) return fmt::format("{} = {}: {}", name, value_of(key, key.after), printable(key.note));
  std::string out = fmt::format("{} = {}", name, value_of(key, key.after));
  if (key.low < key.high)
    out += fmt::format(" (95 %: {} to {})", value_of(key, key.low), value_of(key, key.high));
  out += fmt::format("; was {}", value_of(key, key.before));
  return key.note.empty() ? out : out + "; " + printable(key.note);
}

std::string keys_section(const LayoutFit& fit, bool fitted) {
  std::string out;
  for (const FittedKey& key : fit.keys) {
    if (key.fitted == fitted) out += wrap("  - ", one_key(key));
  }
  return out;
}

std::string places_section(const LayoutFit& fit) {
  std::string out;
  for (const FittedPlace& place : fit.places) {
    std::string said = fmt::format("{}: {} mm off (+-{} expected)", printable(place.name),
                                   decimals(place.residual_mm, 3), decimals(place.sigma_mm, 3));
    if (!place.against.empty()) {
      said = fmt::format("{}: LEFT OUT: it and {} contradict each other, and nothing tells which is wrong",
                         printable(place.name), printable(place.against));
    } else if (!place.used) {
      said += "; LEFT OUT: not what it was taken for";
    } else if (!place.checked) {
      said = printable(place.name) + ": fits by itself, nothing else checks it";
    }
    out += wrap("  - ", said);
  }
  return out;
}

std::string sentence_of(const LayoutFit& fit) {
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

}  // namespace

std::string fit_text(const LayoutFit& fit) {
  std::string out = wrap("", sentence_of(fit));
  out += "\nDetermined\n" + keys_section(fit, true);
  if (const auto kept = keys_section(fit, false); !kept.empty())
    out += "\nNot determined, kept from the starting layout\n" + kept;
  out += wrap("  - ",
              "drum, raster, interleave, travel, jets, rotated, inks and zones: places like these say "
              "nothing of them.");
  std::string left_over;
  for (const FittedHead& head : fit.heads) {
    if (std::abs(head.left_over_mm) >= 0.005)
      left_over +=
          wrap("  - ", fmt::format("head {}: {} mm", printable(head.head), decimals(head.left_over_mm, 3)));
  }
  if (!left_over.empty())
    out += "\nBeyond whole columns and the carriage's offset, so not written\n" + left_over;
  out += "\nPlaces\n" + places_section(fit);
  return out + '\n' + wrap("", noise_words(fit));
}

std::string fit_remark(const LayoutFit& fit) {
  std::string out = sentence_of(fit);
  for (const FittedKey& key : fit.keys) out += '\n' + one_key(key);
  return out;
}

}  // namespace scrapetrace::report
