#pragma once
// Decoding on one thread, adding up on another: while a strip of rows is worked on, the next is decoded.

#include <cstddef>
#include <functional>

#include "scan/rows.h"

namespace scrapetrace::scan {

// Strips under way at a time.
inline constexpr std::size_t kRelaySlots = 8;

// Calls fill(slot, strip) for the strips 0 .. strips - 1 on the calling thread, and `take` with the rows that
// come back, in order, on one other thread. `fill` puts them in memory of its own for `slot` (below
// kRelaySlots), which is its again once they are taken; without rows, decoding has failed and is not gone on
// with. False then. What `take` throws is thrown here.
bool relay(int strips, const std::function<Rows(std::size_t slot, int strip)>& fill, const Take& take);

}  // namespace scrapetrace::scan
