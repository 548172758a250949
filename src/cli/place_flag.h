#pragma once
// Parses places: HEAD:SIDE[:SURFACE], names as in the layout.

#include <string>
#include <vector>

#include "scrapetrace/recheck.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// The parts between colons; at least one.
std::vector<std::string> split_place(const std::string& flag);

// Null for an unknown name; unknown_... then list the known ones.
const Head* find_head(const Layout& layout, const std::string& name);
const Zone* find_zone(const Layout& layout, const std::string& side, const std::string& surface);
std::string unknown_head(const Layout& layout, const std::string& name);
std::string unknown_zone(const Layout& layout, const std::string& side, const std::string& surface);

// "HEAD:SIDE[:SURFACE]"; the problem names `option`.
Result<Cleaned> cleaned_from_flag(const std::string& option, const std::string& flag, const Layout& layout);

}  // namespace scrapetrace::cli
