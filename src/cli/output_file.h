#pragma once
// Opens all outputs: files atomically, devices and pipes directly.

#include <string>
#include <string_view>
#include <vector>

#include "base/atomic_file.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// A file on the command line, and its option: "--json", or "scan" for a word.
struct NamedFile {
  std::string role;
  std::string path;
};

// A sentence when an output is also an input or another output, compared by device and inode; else empty.
// Devices, pipes and "-" may be used twice.
std::string overwrites(const std::vector<NamedFile>& inputs, const std::vector<NamedFile>& outputs);

// Allows replacing existing outputs (--force); by default they are kept.
void replace_outputs();
Existing output_policy();

// True for outputs that are written in place: devices, pipes, /dev/fd/N.
bool is_stream(const std::string& path);

// Problems that would keep `path` from being written, checked before the work.
Problems check_writable(const std::string& path, Existing existing = output_policy());
// The same for a file that the program reads back.
Problems check_kept(const std::string& path);

// Writes atomically by a temporary file; to a stream directly.
Problems write_file(const std::string& path, std::string_view bytes, Existing existing = output_policy());

}  // namespace scrapetrace::cli
