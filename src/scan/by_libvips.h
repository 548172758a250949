#pragma once
// Calls into libvips, which may be missing.

#include <string>

#include "scan/scan_file.h"
#include "scan/vips_session.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// The result of `read`, or a problem of the file when it needs libvips and there is none. Clears libvips'
// error buffer, since some loaders complain of what they repair.
template <class Read>
auto by_libvips(const ScanFile& file, Read read) -> decltype(read()) {
  try {
    auto out = read();
    take_vips_error();
    return out;
  } catch (const NoLibvips& missing) {
    return Problem{file.name(), 0, 0, std::string("cannot be read: ") + missing.what()};
  }
}

}  // namespace scrapetrace::scan
