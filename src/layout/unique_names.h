#pragma once
// Checks for duplicate and unknown names.

#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "base/wording.h"
#include "layout/problem_list.h"

namespace scrapetrace::layout {

// Reports each part whose name occurred before; empty names were reported on reading.
template <class Part>
void check_unique(const std::string& kind, const std::vector<Part>& parts, const std::vector<Place>& places,
                  ProblemList& problems) {
  for (std::size_t i = 0; i < parts.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (parts[i].name.empty() || parts[i].name != parts[j].name) continue;
      problems.add(places[i], fmt::format("{} name {} is already used on line {}; give each {} its own name.",
                                          kind, in_quotes(parts[i].name), places[j].line, kind));
      break;
    }
  }
}

template <class Part>
std::vector<std::string> names_of(const std::vector<Part>& parts) {
  std::vector<std::string> out;
  for (const auto& part : parts) {
    if (std::find(out.begin(), out.end(), part.name) == out.end()) out.push_back(part.name);
  }
  return out;
}

// Index of the part with this name. An unknown name is reported with the known ones.
template <class Part>
std::optional<std::size_t> find_named(const std::string& kind, const std::vector<Part>& parts,
                                      const std::string& name, Place place, ProblemList& problems) {
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (parts[i].name == name) return i;
  }
  const auto known = names_of(parts);
  // It may be in a skipped line, or be a name that could not be read.
  const bool some_unread = std::find(known.begin(), known.end(), "") != known.end();
  if (problems.has_skipped_lines() || some_unread) return std::nullopt;
  problems.add(place, fmt::format("there is no {} {}; known: {}.{}", kind, in_quotes(name),
                                  known.empty() ? "none" : any_of(known), did_you_mean(name, known)));
  return std::nullopt;
}

}  // namespace scrapetrace::layout
