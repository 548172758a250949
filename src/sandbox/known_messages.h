#pragma once
// Checks messages from a worker. A hijacked worker could send advice in the program's name, for example to
// switch the sandbox off.

#include <string>
#include <string_view>

namespace scrapetrace::sandbox {

// Whether src/scan can have said this about the file of that name. Numbers are free; a decoder's own message
// stands in parentheses.
bool is_known_problem(std::string_view sentence, std::string_view file);
bool is_known_note(std::string_view sentence);
bool is_known_conflict(std::string_view sentence);  // PageRaster::tag_conflict

// The message as shown: unchanged when known, else marked as unverified.
std::string shown_problem(const std::string& sentence, std::string_view file);

}  // namespace scrapetrace::sandbox
