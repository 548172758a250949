#include "scrapetrace/result.h"

namespace scrapetrace {

std::string to_string(const Problem& problem) {
  std::string out = problem.file;
  if (problem.line > 0) {
    out += (out.empty() ? "line " : ":") + std::to_string(problem.line);
    if (problem.column > 0) out += ":" + std::to_string(problem.column);
  }
  if (!out.empty()) out += ": ";
  return out + problem.what;
}

}  // namespace scrapetrace
