#pragma once
// SHA-256 (FIPS 180-4) by libcrypto, as an identity of contents.

#include <string>
#include <string_view>

#include "scrapetrace/result.h"

namespace scrapetrace::hash {

// 64 lower-case hexadecimal digits.
std::string sha256(std::string_view bytes);

// Of a file's contents, read in pieces.
Result<std::string> sha256_of_file(const std::string& path);

}  // namespace scrapetrace::hash
