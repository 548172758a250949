#pragma once
// Describes TOML values in messages.

#include <toml++/toml.h>

#include <string>

namespace scrapetrace::layout {

// "12", "\"abc\"", "a list of 3 values", "a table".
std::string shown(const toml::node& value);

}  // namespace scrapetrace::layout
