#pragma once
// What a worker may say in the program's name. Its words come from a process that may have been taken over,
// and advice in them - to read without protection, say - would be an attacker's.

#include <string>
#include <string_view>

namespace scrapetrace::sandbox {

// Whether the sentence is one that src/scan has, about the file of that name: numbers may differ, and what a
// decoder complains of stands in parentheses.
bool is_known_problem(std::string_view sentence, std::string_view file);
bool is_known_note(std::string_view sentence);
bool is_known_conflict(std::string_view sentence);  // PageRaster::tag_conflict

// A worker's problem as it may be shown: itself where it is known, else marked as what it is.
std::string shown_problem(const std::string& sentence, std::string_view file);

}  // namespace scrapetrace::sandbox
