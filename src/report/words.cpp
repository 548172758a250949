#include "report/words.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "report/utf8.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

// Invisible characters that change the reading order (Unicode Standard Annex 9), so that a name looks like
// another.
bool turns_reading_order(std::string_view text, std::size_t length) {
  if (length == 2) return text.starts_with("\xD8\x9C");
  if (length != 3 || !text.starts_with("\xE2")) return false;
  const auto second = static_cast<unsigned char>(text[1]);
  const auto third = static_cast<unsigned char>(text[2]);
  return (second == 0x80 && (third == 0x8E || third == 0x8F || (third >= 0xAA && third <= 0xAE))) ||
         (second == 0x81 && third >= 0xA6 && third <= 0xA9);
}

}  // namespace

std::string printable(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t length = utf8_length(text);
    const auto byte = static_cast<unsigned char>(text.front());
    // U+0080 to U+009F are control characters too; a terminal may obey them.
    const bool c1 = length == 2 && byte == 0xC2 && static_cast<unsigned char>(text[1]) < 0xA0;
    const bool whole = c1 || turns_reading_order(text, length);
    if (length == 0 || byte < 0x20 || byte == 0x7F || whole) {
      const std::size_t bytes = whole ? length : 1;
      for (std::size_t i = 0; i < bytes; ++i)
        out += fmt::format("\\x{:02X}", static_cast<unsigned char>(text[i]));
      text.remove_prefix(bytes);
    } else {
      out += text.substr(0, length);
      text.remove_prefix(length);
    }
  }
  return out;
}

std::string printable_lines(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    out += printable(text.substr(at, end - at));
    if (end < text.size()) out += '\n';
    at = end + 1;
  }
  return out;
}

std::string valid_utf8(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::size_t length = utf8_length(text);
    out += length == 0 ? std::string_view("\xEF\xBF\xBD") : text.substr(0, length);
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return out;
}

std::string little(double part) {
  return part < 0.005 ? std::string("none") : "only " + percent(part);
}

std::string percent(double probability) {
  if (!std::isfinite(probability)) return "unknown";
  const double value = probability * 100;
  if (value < 0.5) return "under 1 %";
  if (value > 99.5) return "over 99 %";
  return fmt::format("{:.0f} %", value);
}

std::string decimals(double value, int digits) {
  if (!std::isfinite(value)) return "unknown";
  const double step = std::pow(10.0, -digits);
  if (std::abs(value) < step / 2) value = 0;
  return fmt::format("{:.{}f}", value, digits);
}

std::string place_name(const std::string& head, Side side, const std::string& surface) {
  return fmt::format("head {}, {} side, {}", printable(head), to_string(side), printable(surface));
}

std::string jets_note(const std::optional<double>& touch_from_mm, LengthUnit unit) {
  if (!touch_from_mm) return "among the jets: never scrape there";
  return fmt::format("only from {} outward of its outermost jet", length(*touch_from_mm, 1, unit));
}

std::string where_on_head(const Target& target, LengthUnit unit) {
  return fmt::format("{} {} of the head's outermost jet{}", length(std::abs(target.outward_mm), 1, unit),
                     target.outward_mm < 0 ? "inward" : "outward", jets_alarm(target, unit, ", "));
}

const char* cause_words(Cause cause) {
  switch (cause) {
    case Cause::residue:
      return "residue";
    case Cause::dead_jet:
      return "dead or weak jet";
    case Cause::drum_scratch:
      return "drum scratch";
    case Cause::blade_haze:
      return "blade haze";
    case Cause::scanner_line:
      return "scanner line";
    case Cause::seam_mismatch:
      return "seam mismatch";
    case Cause::sheet_damage:
      return "damage of this sheet";
    case Cause::unknown:
      break;
  }
  return "unknown";
}

const char* cause_advice(Cause cause) {
  switch (cause) {
    case Cause::residue:
      return "";
    case Cause::dead_jet:
      return "Do not scrape the head for it: run the machine's own jet cleaning or "
             "substitution, "
             "then print again.";
    case Cause::drum_scratch:
      return "It belongs to the drum's surface and no head will mend it. Inspect the drum "
             "there.";
    case Cause::blade_haze:
      return "Ink gets past the drum's cleaning blade. Inspect the blade's edge and the drum "
             "there.";
    case Cause::scanner_line:
      return "Not on the print: clean the scanner's glass and its calibration strip, then scan again.";
    case Cause::seam_mismatch:
      return "Two heads' ink does not meet where the layout has their seam: nothing to scrape. Measure where "
             "the carriages stand and mend offset_mm in the layout, or have trained staff align them as the "
             "machine's service documentation says.";
    case Cause::sheet_damage:
      return "It shows on too little of the sheet for something that touches the drum at every turn: dirt, a "
             "scratch or a crease, most likely. Print one more sheet: if it comes again at the same "
             "place, it is no damage.";
    case Cause::unknown:
      break;
  }
  return "No cause fits well. Print and scan once more before anything is opened.";
}

const char* beyond_layout_words() {
  return "probably a contact that this layout's interleave does not explain: check travel and the order of "
         "shift_px in the layout, and run locate on the same scans again";
}

std::span<const std::string_view> cautions() {
  static constexpr std::array<std::string_view, 5> kLines{
      "Trained staff only; the machine's service documentation and local rules come before this text.",
      "Switch off, isolate from the mains and wait as that documentation says: heads and drum stay hot, "
      "the drum and carriages can move.",
      "Wear gloves and eye protection against hot ink, sealant and solvents; air the room.",
      "No metal on a faceplate, and stay off the jets: never scrape across them.",
      "Refit every cover and interlock before power comes back.",
  };
  return kLines;
}

std::string cautions_text() {
  std::string out = "CAUTION: before a cover comes off\n";
  for (const auto line : cautions()) out += wrap("  ! ", line);
  return out;
}

}  // namespace scrapetrace::report
