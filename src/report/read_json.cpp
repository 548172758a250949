#include "report/read_json.h"

#include <algorithm>

namespace scrapetrace::report {

namespace {

struct TooDeep {};

Problem problem_at(std::string_view text, std::size_t byte, const std::string& file, std::string what) {
  const std::string_view before = text.substr(0, std::min(byte == 0 ? 0 : byte - 1, text.size()));
  const auto line = std::count(before.begin(), before.end(), '\n') + 1;
  const auto newline = before.rfind('\n');
  const std::size_t column = before.size() - (newline == std::string_view::npos ? 0 : newline + 1) + 1;
  return {file, static_cast<int>(line), static_cast<int>(column), std::move(what)};
}

}  // namespace

Result<Json> read_json(std::string_view text, const std::string& file) {
  const auto watch = [](int depth, Json::parse_event_t event, const Json&) {
    const bool opens =
        event == Json::parse_event_t::object_start || event == Json::parse_event_t::array_start;
    if (opens && depth >= kMostLevels) throw TooDeep();
    return true;
  };
  try {
    return Json::parse(text, watch);
  } catch (const TooDeep&) {
    return Problem{file, 0, 0,
                   "nests deeper than " + std::to_string(kMostLevels) + " levels; no report does"};
  } catch (const Json::parse_error& error) {
    return problem_at(text, error.byte, file, "is not JSON from here on; give the file that --json wrote");
  } catch (const Json::exception&) {  // a number out of double's range
    return Problem{file, 0, 0, "holds a number out of range; give the file that --json wrote"};
  }
}

std::string string_at(const Json& json, const char* key) {
  if (!json.is_object()) return {};
  const auto found = json.find(key);
  return found != json.end() && found->is_string() ? found->get<std::string>() : std::string();
}

const Json& object_at(const Json& json, const char* key) {
  static const Json kNothing = Json::object();
  const auto found = json.find(key);
  return found != json.end() && found->is_object() ? *found : kNothing;
}

const Json& array_at(const Json& json, const char* key) {
  static const Json kNone = Json::array();
  const auto found = json.find(key);
  return found != json.end() && found->is_array() ? *found : kNone;
}

}  // namespace scrapetrace::report
