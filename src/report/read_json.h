#pragma once
// Reads JSON from untrusted sources.

#include <string>
#include <string_view>

#include "report/json_values.h"
#include "scrapetrace/result.h"

namespace scrapetrace::report {

// Limit of nesting, since writing a tree recurses; our own reports have six levels.
inline constexpr int kMostLevels = 32;

// Problems name the place of the first error in `file`.
Result<Json> read_json(std::string_view text, const std::string& file);

// A string member; empty when missing or of another type.
std::string string_at(const Json& json, const char* key);
const Json& object_at(const Json& json, const char* key);
const Json& array_at(const Json& json, const char* key);

}  // namespace scrapetrace::report
