#pragma once
// JSON of somebody else's.

#include <string>
#include <string_view>

#include "report/json_values.h"
#include "scrapetrace/result.h"

namespace scrapetrace::report {

// Deeper nesting is refused: writing a tree again takes a call per level, and our own reports have six.
inline constexpr int kMostLevels = 32;

// Problems name the place of the first fault in `file`.
Result<Json> read_json(std::string_view text, const std::string& file);

// A member of an object; empty where there is none of that kind.
std::string string_at(const Json& json, const char* key);
const Json& object_at(const Json& json, const char* key);
const Json& array_at(const Json& json, const char* key);

}  // namespace scrapetrace::report
