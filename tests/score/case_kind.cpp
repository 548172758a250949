#include <array>

#include "score/case_record.h"

namespace scrapetrace::score {

namespace {
constexpr std::array<const char*, kCaseKindCount> kKindWords{"residue",  "low_loss", "faint",   "cut",
                                                             "evidence", "clean",    "dead_jet"};
}

const char* to_string(CaseKind kind) {
  return kKindWords[static_cast<std::size_t>(kind)];
}

std::optional<CaseKind> case_kind_from(const std::string& word) {
  for (std::size_t k = 0; k < kCaseKindCount; ++k) {
    if (word == kKindWords[k]) return static_cast<CaseKind>(k);
  }
  return std::nullopt;
}

}  // namespace scrapetrace::score
