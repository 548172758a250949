#include "report/jet_lines.h"

#include <fmt/format.h>

#include "report/words.h"

namespace scrapetrace::report {

namespace {

std::string state_of_jet(const JetChange& jet) {
  const char* now = jet.dead ? "dead" : "weak";
  switch (jet.state) {
    case JetState::lost:
      return fmt::format("{}, and was not before", now);
    case JetState::was_so:
      return fmt::format("{}, as it was before", now);
    case JetState::unknown:
      break;
  }
  return fmt::format("{}; the scans before do not show whether it was so then", now);
}

}  // namespace

std::string from_cleaned_words(double from_cleaned_mm, LengthUnit unit) {
  constexpr double kAtIt_mm = 0.05;
  return from_cleaned_mm < kAtIt_mm ? "at the place you cleaned"
                                    : length(from_cleaned_mm, 1, unit) + " from the place you cleaned";
}

std::vector<std::string> jet_lines(const std::vector<JetChange>& jets, LengthUnit unit,
                                   const std::string& of_scans) {
  std::vector<std::string> out;
  for (const JetChange& jet : jets) {
    std::string line =
        fmt::format("head {}, {}, jet {}, at {} from the left: {}", printable(jet.head), printable(jet.ink),
                    jet.jet, length(jet.x_sheet_mm, 1, unit), state_of_jet(jet));
    if (jet.from_cleaned_mm) line += "; " + from_cleaned_words(*jet.from_cleaned_mm, unit);
    out.push_back(line + fmt::format(" ({} % of its ink missing; streak {}{})", decimals(100 * jet.loss, 0),
                                     jet.after, of_scans));
  }
  return out;
}

}  // namespace scrapetrace::report
