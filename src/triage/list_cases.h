#pragma once
// Which inputs make a case. Nothing is kept: each input is handed over as it is met, and none is passed over.

#include <functional>
#include <iosfwd>
#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::triage {

enum class Standing {
  found,    // a file met in a folder: a scan if its content is one
  named,    // by a manifest, as a scan
  empty,    // an empty folder
  no_file,  // nothing else that can be opened
};

struct Input {
  std::string name;  // of its case
  std::string file;  // relative to the folder or manifest it was met in
  Standing standing = Standing::found;
  std::string why;  // of the last two: what it is, as what follows its name
};

using Listed = std::function<void(const Input&)>;

// "unit07" for "unit07-2.tif", "unit07_2.tif" and "unit07.tif": the stem up to a last '-' or '_' with digits
// after it.
std::string case_of(const std::string& file);

// True for a name that says "scan" by its suffix: what its content denies is a broken scan, and no other
// thing.
bool named_like_a_scan(const std::string& file);

// A subfolder is a case with all that is in and below it; what lies in the folder itself belongs to case_of
// it. Links to files below the folder are followed, no others. Empty folders, folders that cannot be read,
// other links, pipes and devices are inputs, too. Problems: the folder itself cannot be read.
Problems list_folder(const std::string& folder, const Listed& listed);

// One scan per line: "CASE<tab>FILE", or "FILE" alone for case_of(FILE); blank lines and those that begin
// with
// '#' are passed over. Lines that are neither are problems.
Problems list_manifest(std::istream& lines, const std::string& manifest, const Listed& listed);

}  // namespace scrapetrace::triage
