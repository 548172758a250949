#pragma once
// Reading by libvips, which may not be there.

#include <string>

#include "scan/scan_file.h"
#include "scan/vips_session.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// What `read` gives; where it needs libvips and there is none, the problem of the file that says so. Leaves
// nothing in libvips' error buffer: some loaders complain of what they then mend.
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
