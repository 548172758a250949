#pragma once
// Standard output, standard error and output files.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "cli/exit_status.h"
#include "cli/output_file.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// Prints text to stdout, or complains and returns bad_request. Control characters other than newlines are
// made harmless.
ExitStatus print_result(std::string_view text);

// The same for machine-readable data, unchanged.
ExitStatus print_bytes(std::string_view bytes);

// The same for a report, with answer and cautions emphasised on a terminal.
ExitStatus print_answer(const std::string& text);

// To standard output for "-", else to that file.
ExitStatus hand_over(const std::string& path, std::string_view text);

// Data for a file, or for standard output when `path` is "-"; an empty path discards it.
struct Output {
  std::string path;
  std::string bytes;
};
// Writes all outputs. Standard output receives the one with "-", or `text` when there is none, even if a file
// fails.
ExitStatus hand_over(const std::vector<Output>& outputs, const std::string& text);

// print_bytes() that returns a problem on failure.
Problems printed(std::string_view bytes);

// A sentence when more than one option is "-"; else empty.
std::string two_on_stdout(const std::vector<std::pair<std::string, std::string>>& options);

// To stderr, after the program's name.
void complain(std::string_view text);
void complain(const Problems& problems);

// Prints the problems and returns bad_request.
ExitStatus refuse(const Problems& problems);

}  // namespace scrapetrace::cli
