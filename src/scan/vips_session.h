#pragma once
// The one place that starts libvips and empties its process-wide error buffer.

#include <string>
#include <vector>

namespace scrapetrace::scan {

// Starts libvips once, with no loaders but those of the formats taken, its operation cache off (a cached open
// would miss that a file has changed) and its warnings kept for take_vips_warnings() instead of printed. Call
// it before any libvips call; it is cheap and may be called from any thread. Throws std::runtime_error when
// libvips cannot start.
void start_vips();

// What libvips put into its error buffer, trimmed, its lines joined by "; ". Empties the buffer.
std::string take_vips_error();

// The first line of the same: what belongs to the call just made, without all that followed from it.
std::string take_first_vips_error();

// Warnings since the last call, from all threads, oldest first, each once.
std::vector<std::string> take_vips_warnings();

}  // namespace scrapetrace::scan
