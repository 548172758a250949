#pragma once
// Which inputs belong to which case. Streams: each input is reported when met, none is skipped silently.

#include <functional>
#include <iosfwd>
#include <string>

#include "scrapetrace/result.h"

namespace scrapetrace::triage {

enum class Standing {
  found,    // a file in a folder: a scan if its content is one
  named,    // a scan by the manifest
  empty,    // an empty folder
  no_file,  // not a readable file
};

struct Input {
  std::string name;  // of the case
  std::string file;  // relative to the folder or manifest
  Standing standing = Standing::found;
  std::string why;  // for `empty` and `no_file`: a predicate for the name
};

using Listed = std::function<void(const Input&)>;

// The stem up to a last '-' or '_' followed by digits: "unit07" for "unit07-2.tif", "unit07_2.tif" and
// "unit07.tif".
std::string case_of(const std::string& file);

// True for a suffix of an image format. If the content is none, the file is a broken scan rather than another
// thing.
bool named_like_a_scan(const std::string& file);

// A subfolder is a case with everything below it; a file in the folder itself belongs to the case case_of()
// names. Only links to files below the folder are followed. Empty or unreadable folders, other links, pipes
// and devices are reported as inputs. Problems: the folder itself cannot be read.
Problems list_folder(const std::string& folder, const Listed& listed);

// One scan per line: "CASE<tab>FILE", or "FILE" alone for case_of(FILE). Blank lines and lines starting with
// '#' are comments. Problems: any other line.
Problems list_manifest(std::istream& lines, const std::string& manifest, const Listed& listed);

}  // namespace scrapetrace::triage
