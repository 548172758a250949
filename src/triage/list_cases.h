#pragma once
// Which scans make a case. Nothing is kept: each scan is handed over as it is met.

#include <functional>
#include <iosfwd>
#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::triage {

// Case and file; the file's path is relative to the folder or manifest it was found in.
using Listed = std::function<void(const std::string& name, const std::string& file)>;

struct FolderListing {
  Problems passed_over;
};

// "unit07" for "unit07-2.tif", "unit07_2.tif" and "unit07.tif": the stem up to a last '-' or '_' with digits
// after it.
std::string case_of(const std::string& file);

// A subfolder is a case with all scans in and below it; a scan in the folder itself belongs to case_of it.
// Files that are no scans by their suffix are passed over. Links that lead out of the folder are not
// followed; each is a problem to be told, and the rest is still listed. Fails (no value) when the folder
// cannot be read.
Result<FolderListing> list_folder(const std::string& folder, const Listed& listed);

// One scan per line: "CASE<tab>FILE", or "FILE" alone for case_of(FILE); blank lines and those that begin
// with
// '#' are passed over. Lines that are neither are problems.
Problems list_manifest(std::istream& lines, const std::string& manifest, const Listed& listed);

}  // namespace scrapetrace::triage
