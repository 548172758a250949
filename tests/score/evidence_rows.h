#pragma once

#include <cstdint>
#include <vector>

#include "score/summary.h"

namespace scrapetrace::score {

// What more evidence is worth, over the cases that were read with more: one sheet, several, one sheet twice,
// one and an earlier one. Empty when there are no such cases.
std::vector<EvidenceRow> evidence_rows(const std::vector<CaseRecord>& records, std::uint64_t seed);

}  // namespace scrapetrace::score
