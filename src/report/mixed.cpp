#include "report/mixed.h"

#include "report/words.h"
#include "scrapetrace/accept.h"

namespace scrapetrace::report {

std::string mixed_words(const Findings& findings) {
  const auto scans = contradicting(findings);
  if (scans.empty()) return {};
  std::string out;
  for (std::size_t i = 0; i < scans.size(); ++i) {
    if (i > 0) out += i + 1 == scans.size() ? " and " : ", ";
    out += printable(scans[i]->file);
  }
  return out + (scans.size() == 1 ? " contradicts" : " contradict") +
         " the other scans, so that they may be of different machines or states";
}

}  // namespace scrapetrace::report
