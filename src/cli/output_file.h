#pragma once
// The one place that opens outputs: files whole or not at all, and the devices and pipes that the user names.

#include <string>
#include <string_view>
#include <vector>

#include "base/part_file.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// A file on the command line, and how it stands there: "--json", or "scan" for a word.
struct NamedFile {
  std::string role;
  std::string path;
};

// What is wrong when an output is an input or another output, by device and inode, so whatever its names are;
// one sentence, empty when nothing is. Devices, pipes and "-" may serve twice.
std::string overwrites(const std::vector<NamedFile>& inputs, const std::vector<NamedFile>& outputs);

// Outputs that are there already stay as they are, unless the command line says --force: then for all of
// them.
void replace_outputs();
Existing output_policy();

// True for what is written to as it is and never replaced: devices, pipes, /dev/fd/N.
bool is_stream(const std::string& path);

// What keeps `path` from being written, before the work is done; empty when nothing does.
Problems check_writable(const std::string& path, Existing existing = output_policy());
// The same for a file that the program reads again.
Problems check_kept(const std::string& path);

// Written under another name in the same folder and then renamed; straight to a stream.
Problems write_file(const std::string& path, std::string_view bytes, Existing existing = output_policy());

}  // namespace scrapetrace::cli
