#pragma once
// Sheet sizes by name or dimensions.

#include <array>
#include <optional>
#include <string>

namespace scrapetrace::testpage {

// Width across the drum and length along it, mm. In any case: a4, a3 (ISO 216:2007), ra4, ra3, sra4, sra3
// (ISO 217:2013), letter, ledger (ANSI/ASME Y14.1 A and B), or WIDTHxLENGTH in mm. Nothing for other text.
std::optional<std::array<double, 2>> sheet_size(const std::string& words);
std::string known_sheets();

}  // namespace scrapetrace::testpage
