#pragma once
// Hashes of input files, and copies among them.

#include <string>
#include <vector>

#include "scrapetrace/provenance.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// SHA-256 of the file's bytes. "-" is standard input; "scan.tif[2]" counts as its whole file.
Result<std::string> contents_hash(const std::string& name);

// A scan that repeats another: the same bytes under another name, or a page of a file also named whole.
// Weighing both would count one witness twice.
struct Copy {
  std::size_t scan = 0;  // indices in the list
  std::size_t same_as = 0;
};
// An empty `sha256` means unreadable, which is no copy. The first of equals is no copy.
struct HeldScan {
  std::string name;
  std::string sha256;
};
std::vector<Copy> copies_among(const std::vector<HeldScan>& scans);

// Problems for copies among the scans that findings would be based on.
Problems same_scans(const report::Origin& origin);

}  // namespace scrapetrace::cli
