#include "triage/shard.h"

#include <charconv>

#include "hash/sha256.h"

namespace scrapetrace::triage {

bool Shard::holds(const std::string& name) const {
  if (count == 1) return true;
  const std::string digest = hash::sha256(name);
  unsigned number = 0;
  std::from_chars(digest.data(), digest.data() + 8, number, 16);
  return static_cast<int>(number % static_cast<unsigned>(count)) == index - 1;
}

std::optional<Shard> shard_of(const std::string& text) {
  Shard shard;
  const char* const end = text.data() + text.size();
  const auto first = std::from_chars(text.data(), end, shard.index);
  if (first.ec != std::errc() || first.ptr == end || *first.ptr != '/') return std::nullopt;
  const auto second = std::from_chars(first.ptr + 1, end, shard.count);
  if (second.ec != std::errc() || second.ptr != end) return std::nullopt;
  if (shard.count < 1 || shard.count > kMostShards || shard.index < 1 || shard.index > shard.count)
    return std::nullopt;
  return shard;
}

}  // namespace scrapetrace::triage
