#pragma once
// What the files that the user named hold, and which of them hold the same.

#include <string>
#include <vector>

#include "scrapetrace/provenance.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// SHA-256 of the file's bytes. "-" is what standard input holds; "scan.tif[2]", a page, is its whole file.
Result<std::string> contents_hash(const std::string& name);

// A scan, and one named with it that shows the same page: the same bytes under another name, or a page of a
// file that is named whole. To weigh both would count one witness twice.
struct Copy {
  std::size_t scan = 0;  // places in the list
  std::size_t same_as = 0;
};
// `sha256` empty: could not be read, a copy of nothing. Of equals the first is no copy.
struct HeldScan {
  std::string name;
  std::string sha256;
};
std::vector<Copy> copies_among(const std::vector<HeldScan>& scans);

// Copies among the scans that findings are to rest on, as complaints.
Problems same_scans(const report::Origin& origin);

}  // namespace scrapetrace::cli
