#pragma once
// Loads and starts libvips and empties its process-wide error buffer.

#include <exception>
#include <stdexcept>
#include <string>

namespace scrapetrace::scan {

// libvips cannot be used here; what() says why and what to install.
struct NoLibvips : std::runtime_error {
  using std::runtime_error::runtime_error;
};
// Thrown in a process that must not load libvips but needs it.
struct LibvipsWanted : std::exception {};

// Loads and starts libvips once: only the supported loaders, no operation cache (a cached open would miss a
// changed file), no warnings. Call it before any libvips call; later calls are cheap and thread-safe. Throws
// NoLibvips when it cannot be had, LibvipsWanted after do_without_vips().
void start_vips();

// From here on start_vips() throws LibvipsWanted, unless libvips is started already.
void do_without_vips();

// The contents of libvips' error buffer, lines joined by "; ". Empties the buffer. Empty when libvips was not
// started.
std::string take_vips_error();

// The first line alone, which belongs to the call just made.
std::string take_first_vips_error();

}  // namespace scrapetrace::scan
