#include "report/utf8.h"

namespace scrapetrace::report {

namespace {

// The range of the second byte depends on the first: no overlong forms, no surrogates, nothing above
// U+10FFFF.
struct Lead {
  std::size_t length;
  unsigned second_from;
  unsigned second_to;
};

Lead lead_of(unsigned byte) {
  if (byte < 0x80) return {1, 0, 0};
  if (byte >= 0xC2 && byte <= 0xDF) return {2, 0x80, 0xBF};
  if (byte == 0xE0) return {3, 0xA0, 0xBF};
  if (byte == 0xED) return {3, 0x80, 0x9F};
  if (byte >= 0xE1 && byte <= 0xEF) return {3, 0x80, 0xBF};
  if (byte == 0xF0) return {4, 0x90, 0xBF};
  if (byte >= 0xF1 && byte <= 0xF3) return {4, 0x80, 0xBF};
  if (byte == 0xF4) return {4, 0x80, 0x8F};
  return {0, 0, 0};
}

}  // namespace

std::size_t utf8_length(std::string_view text) {
  const Lead lead = lead_of(static_cast<unsigned char>(text.front()));
  if (lead.length < 2) return lead.length;
  if (text.size() < lead.length) return 0;
  const auto second = static_cast<unsigned char>(text[1]);
  if (second < lead.second_from || second > lead.second_to) return 0;
  for (std::size_t i = 2; i < lead.length; ++i) {
    if ((static_cast<unsigned char>(text[i]) & 0xC0U) != 0x80U) return 0;
  }
  return lead.length;
}

}  // namespace scrapetrace::report
