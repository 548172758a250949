#include "cli/output.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

#include "cli/terminal.h"
#include "report/words.h"

namespace scrapetrace::cli {

Problems printed(std::string_view bytes) {
  const bool written = std::fwrite(bytes.data(), 1, bytes.size(), stdout) == bytes.size();
  if (written && std::fflush(stdout) == 0) return {};
  return {
      {"", 0, 0, fmt::format("the result cannot be written to standard output: {}", std::strerror(errno))}};
}

ExitStatus print_bytes(std::string_view bytes) {
  const auto problems = printed(bytes);
  return problems.empty() ? ExitStatus::ok : refuse(problems);
}

ExitStatus print_result(std::string_view text) {
  return print_bytes(report::printable_lines(text));
}

ExitStatus print_answer(const std::string& text) {
  const std::string shown = report::printable_lines(text);
  return print_bytes(colours_on(stdout) ? emphasised(shown) : shown);
}

ExitStatus hand_over(const std::string& path, std::string_view text) {
  if (path == "-") return print_bytes(text);
  const auto problems = write_file(path, text);
  return problems.empty() ? ExitStatus::ok : refuse(problems);
}

ExitStatus hand_over(const std::vector<Output>& outputs, const std::string& text) {
  Problems problems;
  const Output* alone = nullptr;
  for (const Output& output : outputs) {
    if (output.path == "-") {
      alone = &output;
    } else if (!output.path.empty()) {
      auto failed = write_file(output.path, output.bytes);
      problems.insert(problems.end(), failed.begin(), failed.end());
    }
  }
  const auto printed = alone == nullptr ? print_answer(text) : print_bytes(alone->bytes);
  return problems.empty() ? printed : refuse(problems);
}

std::string two_on_stdout(const std::vector<std::pair<std::string, std::string>>& options) {
  std::string first;
  for (const auto& [name, path] : options) {
    if (path != "-") continue;
    if (!first.empty())
      return fmt::format("{} and {} cannot both go to standard output; name a file for one of them.", first,
                         name);
    first = name;
  }
  return {};
}

void complain(std::string_view text) {
  std::fprintf(stderr, "scrapetrace: %s\n", report::printable_lines(text).c_str());
}

void complain(const Problems& problems) {
  for (const Problem& problem : problems) complain(report::printable(to_string(problem)));
}

ExitStatus refuse(const Problems& problems) {
  complain(problems);
  return ExitStatus::bad_request;
}

}  // namespace scrapetrace::cli
