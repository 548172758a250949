#pragma once
// A share of the cases, for one of several machines.

#include <optional>
#include <string>

namespace scrapetrace::triage {

struct Shard {
  int index = 1;  // 1 to count
  int count = 1;

  // Assigns every case to exactly one shard, the same on every machine: by the SHA-256 of its name.
  [[nodiscard]] bool holds(const std::string& name) const;
};

inline constexpr int kMostShards = 100000;

// Parses "3/8", the third of eight; nothing for other text.
std::optional<Shard> shard_of(const std::string& text);

}  // namespace scrapetrace::triage
