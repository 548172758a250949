#pragma once
// The one place that loads and starts libvips and empties its process-wide error buffer.

#include <exception>
#include <stdexcept>
#include <string>

namespace scrapetrace::scan {

// There is no libvips that can be used here; what() says why, and what to install.
struct NoLibvips : std::runtime_error {
  using std::runtime_error::runtime_error;
};
// Libvips is needed by a process that does without it.
struct LibvipsWanted : std::exception {};

// Loads and starts libvips once, with no loaders but those of the formats taken, its operation cache off (a
// cached open would miss that a file has changed) and its warnings kept from being printed. Call it before
// any libvips call; it is cheap once it has been called, and any thread may. Throws NoLibvips, each time,
// when it cannot be had, and LibvipsWanted after do_without_vips().
void start_vips();

// From here on this process loads no library: start_vips() throws LibvipsWanted, unless it is started
// already.
void do_without_vips();

// What libvips put into its error buffer, trimmed, its lines joined by "; ". Empties the buffer. Nothing when
// it was not started.
std::string take_vips_error();

// The first line of the same: what belongs to the call just made, without all that followed from it.
std::string take_first_vips_error();

}  // namespace scrapetrace::scan
