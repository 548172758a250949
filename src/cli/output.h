#pragma once
// Where words go: results to stdout, everything else to stderr, and files by output_file.h.

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "cli/exit_status.h"
#include "cli/output_file.h"
#include "scrapetrace/result.h"

namespace scrapetrace::cli {

// Words to stdout, all of them, or a complaint and bad_request. Nothing in them but an end of line drives a
// terminal, wherever it came from.
ExitStatus print_result(std::string_view text);

// The same for what programs read, as it is.
ExitStatus print_bytes(std::string_view bytes);

// The same for a report to read: its answer and cautions stand out where standard output is a terminal.
ExitStatus print_answer(const std::string& text);

// To standard output for "-", else to that file.
ExitStatus hand_over(const std::string& path, std::string_view text);

// Bytes for a file, or for standard output when `path` is "-"; nothing at all when it is empty.
struct Output {
  std::string path;
  std::string bytes;
};
// Writes them all; standard output gets the one that goes there alone, or `text` when none does. A file that
// fails is complained of; standard output gets its words all the same.
ExitStatus hand_over(const std::vector<Output>& outputs, const std::string& text);

// print_bytes() among things that have problems: what kept it from being printed.
Problems printed(std::string_view bytes);

// What is wrong when more than one of these options says "-", as one sentence; empty when nothing is.
std::string two_on_stdout(const std::vector<std::pair<std::string, std::string>>& options);

// To stderr, after the program's name.
void complain(std::string_view text);
void complain(const Problems& problems);

// Complains, and says so to the shell.
ExitStatus refuse(const Problems& problems);

}  // namespace scrapetrace::cli
