#pragma once
// Sheets by name or measure.

#include <array>
#include <optional>
#include <string>

namespace scrapetrace::testpage {

// Width across the drum and length along it, mm. Names in any case: a4, a3 (ISO 216:2007), ra4, ra3, sra4,
// sra3 (ISO 217:2013), letter, ledger (ANSI/ASME Y14.1 A and B); or WIDTHxLENGTH in mm. Nothing for others.
std::optional<std::array<double, 2>> sheet_size(const std::string& words);
std::string known_sheets();

}  // namespace scrapetrace::testpage
