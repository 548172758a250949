#pragma once
// What a worker hands back. Who reads it takes every byte for an attacker's: sizes are checked before they
// are used, numbers before they are believed, words before they are shown.

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "scan/block_sums.h"
#include "scrapetrace/page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::sandbox {

struct Failed {
  bool no_filter = false;  // the system-call filter could not be set; else the memory did not do
  std::string detail;
};
// The task cannot be done without libvips: it is to be asked for again, with it.
struct NeedsLibvips {};
using Scans = std::vector<int>;  // indices of pages, from 0
using Reply = std::variant<PageRaster, Scans, Problems, Failed, NeedsLibvips>;

// Room in an empty file for the light of the page that it is to hold; null when there is none.
scan::PutLight room_for_light(int file, std::size_t samples);

// False when there is no room for it. The light of a page whose `linear` is empty must be in the file
// already, by room_for_light(); any other reply begins the file anew.
bool write_reply(int file, const Reply& reply);

// Nothing when the file holds no reply that write_reply can have written. Problems come without a file's
// name. A page's light is left in the file, which nobody may change any more (seal it) but anybody close.
std::optional<Reply> read_reply(int file);

}  // namespace scrapetrace::sandbox
