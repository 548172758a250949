#pragma once
// Names of the pages in a file: "scan.tif[2]" is the second page of scan.tif.

#include <string>
#include <vector>

#include "scan/scan_file.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

struct PageName {
  std::string file;
  int index = 0;  // from 0
};

// The page that a name means: of an existing file of that very name the first, else what brackets say.
PageName page_named(const std::string& name);

// Names of all pages of a file, to be read one by one: the name itself when there is one page or when it
// names a page already. Smaller copies of a page (previews) in a TIFF are left out. Problems: missing files,
// formats the tool does not take, more pages than `limits` allow.
Result<std::vector<std::string>> pages_of(const std::string& name, const ReadLimits& limits = {});

// The same of an opened file: indices of its pages, from 0.
Result<std::vector<int>> scans_in(const ScanFile& file, const ReadLimits& limits);
// Their names, when `name` is the file's.
std::vector<std::string> names_of(const std::string& name, const std::vector<int>& scans);

}  // namespace scrapetrace::scan
