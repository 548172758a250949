#pragma once
// Phrases that every report shares, so that text, picture and JSON name a thing the same way.

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "report/units.h"
#include "scrapetrace/findings.h"

namespace scrapetrace::report {

// Fit to be shown on a terminal or in a file: control characters and bytes that are not UTF-8 become \xNN.
std::string printable(std::string_view text);

// The same for text of several lines, which stay lines.
std::string printable_lines(std::string_view text);

// UTF-8 for certain: bytes that are not become U+FFFD. Control characters stay.
std::string valid_utf8(std::string_view text);

// "82 %", "under 1 %", "over 99 %": never a rounded certainty.
std::string percent(double probability);

// Of what was to be seen: "only 4 %", "none".
std::string little(double part);

// "84.2", with that many decimals; no negative zero, and "unknown" for what is not a number.
std::string decimals(double value, int digits);

// "head 3, left side, faceplate"
std::string place_name(const std::string& head, Side side, const std::string& surface);

std::string jets_note(const std::optional<double>& touch_from_mm, LengthUnit unit);
// "only from 0.5 mm outward of its outermost jet", or that a place is never to be scraped; empty where the
// contact stays clear of the jets.
template <class Place>  // Target or RecheckTarget
std::string jets_note(const Place& place, LengthUnit unit = LengthUnit::mm) {
  if (!place.over_jets) return {};
  return jets_note(place.touch_from_mm, unit);
}
// The same as a warning that stands apart, after `joint`.
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

// What to do about a streak that is not a scrape; empty for residue.
const char* cause_advice(Cause cause);
// Of streaks that look like a contact which the layout's interleave does not explain (Streak::beyond_layout).
const char* beyond_layout_words();

// The usual cautions for work at the heads, one sentence each.
std::span<const std::string_view> cautions();
// The same as text, with their heading.
std::string cautions_text();

}  // namespace scrapetrace::report
