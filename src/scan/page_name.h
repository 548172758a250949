#pragma once
// Names of the pages in a file: "scan.tif[2]" is the second page of scan.tif.

#include <string>
#include <vector>

#include "scan/scan_file.h"
#include "scrapetrace/read_page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::scan {

struct PageName {
  std::string file;
  int index = 0;  // from 0
};

// The page that a name means: the first of an existing file of that name, else the one in brackets.
PageName page_named(const std::string& name);

// As pages_of() (read_page.h), of an opened file: indices of its pages, from 0.
Result<std::vector<int>> scans_in(const ScanFile& file, const ReadLimits& limits);
// Their names; `name` is the file's.
std::vector<std::string> names_of(const std::string& name, const std::vector<int>& scans);

}  // namespace scrapetrace::scan
