#pragma once
// Phrases that all reports share, so that they name a thing the same way.

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "report/units.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::report {

// Safe for a terminal or file: control characters and invalid UTF-8 become \xNN.
std::string printable(std::string_view text);

// The same for several lines; keeps line breaks.
std::string printable_lines(std::string_view text);

// Valid UTF-8: invalid bytes become U+FFFD. Control characters stay.
std::string valid_utf8(std::string_view text);

// "82 %", "under 1 %", "over 99 %": never a rounded certainty.
std::string percent(double probability);

// The part of the machine that shows: "only 4 %", "none".
std::string little(double part);

// "84.2" with that many decimals; no negative zero, "unknown" for NaN.
std::string decimals(double value, int digits);

// "head 3, left side, faceplate"
std::string place_name(const std::string& head, Side side, const std::string& surface);

std::string jets_note(const std::optional<double>& touch_from_mm, LengthUnit unit);
// "only from 0.5 mm outward of its outermost jet", or that the place must never be scraped; empty when the
// contact stays clear of the jets.
template <class Place>  // Target or RecheckTarget
std::string jets_note(const Place& place, LengthUnit unit = LengthUnit::mm) {
  if (!place.over_jets) return {};
  return jets_note(place.touch_from_mm, unit);
}
// The same as a separate warning, after `joint`.
template <class Place>
std::string jets_alarm(const Place& place, LengthUnit unit, const std::string& joint) {
  if (!place.over_jets) return {};
  if (place.never_scrape()) return joint + "AMONG THE JETS: never scrape there";
  return joint + "PARTLY AMONG THE JETS: touch it " + jets_note(place, unit);
}

// "1.6 mm outward of the head's outermost jet", with a warning when that is among the jets.
std::string where_on_head(const Target& target, LengthUnit unit = LengthUnit::mm);

// "a dead jet", "a drum scratch", ...
const char* cause_words(Cause cause);

// Advice for a streak that is not a scrape; empty for residue.
const char* cause_advice(Cause cause);
// For streaks that look like a contact but contradict the layout's interleave (Streak::beyond_layout).
const char* beyond_layout_words();

// The usual cautions for work at the heads, one sentence each.
std::span<const std::string_view> cautions();
// The same as text with a heading.
std::string cautions_text();

}  // namespace scrapetrace::report
