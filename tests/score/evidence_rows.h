#pragma once

#include <cstdint>
#include <vector>

#include "score/summary.h"

namespace scrapetrace::score {

// Cases of kind `evidence` read from one sheet, several, one sheet twice, one and an earlier one; maybe none.
std::vector<EvidenceRow> evidence_rows(const std::vector<CaseRecord>& records, std::uint64_t seed);

}  // namespace scrapetrace::score
