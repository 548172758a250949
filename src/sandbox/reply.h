#pragma once
// What a worker hands back. Who reads it takes every byte for an attacker's: sizes are checked before they
// are used, numbers before they are believed, words before they are shown.

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "scrapetrace/page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::sandbox {

struct Failed {
  bool no_filter = false;  // the system-call filter could not be set; else the memory did not do
  std::string detail;
};
using Scans = std::vector<int>;  // indices of pages, from 0
using Reply = std::variant<PageRaster, Scans, Problems, Failed>;

// False when there is no room for it.
bool write_reply(int file, const Reply& reply);

// Nothing when the bytes are no reply that write_reply can have written. Problems come without a file's name.
std::optional<Reply> read_reply(std::span<const std::uint8_t> bytes);

}  // namespace scrapetrace::sandbox
