#pragma once
// Names of the pages in a file: "scan.tif[2]" is the second page of scan.tif.

#include <string>
#include <vector>

#include "scrapetrace/result.h"

namespace scrapetrace::scan {

// A file of more pages than this is no set of scans of one machine in one state.
inline constexpr int kMostPages = 64;

struct PageName {
  std::string file;
  int index = 0;  // from 0
};

// The page that a name means: of an existing file of that very name the first, else what brackets say.
PageName page_named(const std::string& name);

// Names of all pages of a file, to be read one by one: the name itself when there is one page or when it
// names a page already. Smaller copies of a page (previews) in a TIFF are left out. Problems: missing files,
// formats the tool does not take, more than kMostPages pages.
Result<std::vector<std::string>> pages_of(const std::string& name);

}  // namespace scrapetrace::scan
