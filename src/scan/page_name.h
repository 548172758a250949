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

// The page that a name means: the first of an existing file of that name, else the one in brackets.
PageName page_named(const std::string& name);

// Names of all pages of a file, or the name itself when it has one page or names a page. Previews in a TIFF
// are left out. Problems: missing files, unsupported formats, more pages than `limits` allow.
Result<std::vector<std::string>> pages_of(const std::string& name, const ReadLimits& limits = {});

// The same for an opened file: page indices from 0.
Result<std::vector<int>> scans_in(const ScanFile& file, const ReadLimits& limits);
// Their names; `name` is the file's.
std::vector<std::string> names_of(const std::string& name, const std::vector<int>& scans);

}  // namespace scrapetrace::scan
