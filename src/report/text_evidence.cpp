// The evidence: ranking, streaks, unchecked ranges, scans.

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "report/phrases.h"
#include "report/text_sections.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

constexpr std::size_t kMostSharers = 5;

std::string causes_of(const Streak& streak) {
  std::string out;
  for (const Cause cause : causes_by_probability(streak)) {
    out += fmt::format("{}{} {}", out.empty() ? "" : ", ", cause_words(cause),
                       percent(streak.causes[static_cast<std::size_t>(cause)]));
  }
  return out.empty() ? "unknown" : out;
}

// Which scans show a streak, when not all do.
std::string only_on(const Streak& streak, const Findings& findings) {
  const auto analysed = std::count_if(findings.scans.begin(), findings.scans.end(),
                                      [](const ScanReport& scan) { return scan.analysed(); });
  if (streak.scans.empty() || std::ssize(streak.scans) >= analysed) return {};
  std::string names;
  for (const std::size_t scan : streak.scans)
    names += (names.empty() ? "" : ", ") + printable(findings.scans.at(scan).file);
  return fmt::format("on {} of {} scans: {}", streak.scans.size(), analysed, names);
}

std::string one_streak(const Streak& streak, const Findings& findings, LengthUnit unit) {
  std::string out =
      wrap(fmt::format("  {:>2}  ", streak.id),
           fmt::format("at {} from the left (+-{}), {} wide, from {} down the sheet; {}; "
                       "{} times the noise",
                       length(streak.x_sheet_mm, 1, unit), length_value(streak.sigma_mm, 2, unit),
                       length(streak.width_mm, 2, unit), spans(streak.y_sheet_mm, unit), amount_of(streak),
                       decimals(streak.z, 0)));
  out += wrap("      ", "cause: " + causes_of(streak));
  out += wrap("      ", "sight: " + sight_of_streak(streak));
  if (const auto some = only_on(streak, findings); !some.empty()) out += wrap("      ", some);
  if (streak.beyond_layout) out += wrap("      ", beyond_layout_words());
  if (streak.was_before) out += wrap("      ", "was there before: no target rests on it");
  if (streak.residue && streak.likeliest() == Cause::residue)
    out += wrap("      ", "as residue: " + fit_of(*streak.residue, unit));
  return out;
}

std::string registration_of(const Registration& registration, LengthUnit unit) {
  return fmt::format(
      "placed by {}, {} points{}; {} dpi (from {}), skew {} deg, turn {} deg{}, scale {} x {}; predicted "
      "error {} on the drum",
      datum_words(registration.datum), registration.marks, moved_by_jets(registration, unit),
      decimals(registration.dpi, 1), printable(registration.dpi_source), decimals(registration.skew_deg, 2),
      registration.turn_deg, registration.face_mirrored ? ", mirrored" : "",
      decimals(registration.scale_x, 4), decimals(registration.scale_y, 4),
      length(registration.predicted_error_mm, 2, unit));
}

}  // namespace

std::string ranking_section(const Findings& findings, LengthUnit unit) {
  if (findings.targets.empty()) return {};
  std::string out = "Targets, likeliest first\n";
  const std::size_t shown = std::min(kMostSharers, findings.targets.size());
  for (std::size_t i = 0; i < shown; ++i) {
    const Target& target = findings.targets[i];
    out += wrap(fmt::format("  {}. {:>10}  ", i + 1, percent(target.probability)),
                fmt::format("{}; X {}; about {} min{}", place_name(target.head, target.side, target.surface),
                            length(target.x_drum_mm, 1, unit), decimals(target.effort_min, 0),
                            jets_alarm(target, unit, "; ")));
  }
  if (shown < findings.targets.size()) {
    out += fmt::format("  and {} less likely (all are in the JSON)\n", findings.targets.size() - shown);
  }
  const auto order = order_words(findings);
  return order.empty() ? out : out + wrap("  ", order);
}

std::string traces_section(const Findings& findings, LengthUnit unit) {
  if (findings.traces.empty()) return {};
  std::string out = "Traces, no reason to open the machine\n";
  const std::size_t shown = std::min(kMostSharers, findings.traces.size());
  for (std::size_t i = 0; i < shown; ++i) {
    const Target& trace = findings.traces[i];
    out += wrap(fmt::format("  {:>10}  ", percent(trace.probability)),
                fmt::format("{}; X {}; {}; {}", place_name(trace.head, trace.side, trace.surface),
                            length(trace.x_drum_mm, 1, unit), streak_numbers(trace.streaks), kTooFaint));
  }
  if (shown < findings.traces.size())
    out += fmt::format("  and {} less likely (all are in the JSON)\n", findings.traces.size() - shown);
  return out;
}

std::string streaks_section(const Findings& findings, LengthUnit unit) {
  if (findings.streaks.empty()) return {};
  std::string out = "Streaks, left to right\n";
  for (const Streak& streak : findings.streaks) out += one_streak(streak, findings, unit);
  return out;
}

std::string other_section(const Findings& findings, LengthUnit unit) {
  std::string out;
  for (const Streak& streak : findings.streaks) {
    if (!is_other(streak)) continue;
    out += wrap("  - ", fmt::format("streak {}: {}", streak.id, other_cause_of(streak, unit)));
  }
  return out.empty() ? out : "Not a scrape\n" + out;
}

std::string unchecked_section(const Findings& findings, LengthUnit unit) {
  if (findings.unchecked.empty()) return {};
  std::string out = "Not checked: these stay unknown, not clean\n";
  for (const Unchecked& gap : findings.unchecked) {
    out +=
        wrap("  - ", fmt::format("X {} to {}: {}. Targets: {}", length_value(gap.x_drum_mm.from_mm, 1, unit),
                                 length(gap.x_drum_mm.to_mm, 1, unit),
                                 sentence_in(printable(gap.reason), unit), targets_in(gap)));
  }
  return out;
}

std::string scans_section(const Findings& findings, LengthUnit unit) {
  std::string out = "Scans\n";
  for (const ScanReport& scan : findings.scans) {
    out += wrap("  - ", fmt::format("{}: {}", printable(scan.file),
                                    scan.analysed() ? to_string(scan.verdict) : "could not be analysed"));
    for (const auto& reason : scan.reasons) out += wrap("      ", sentence_in(printable(reason), unit));
    for (const auto& note : scan.notes) out += wrap("      ", sentence_in(printable(note), unit));
    if (scan.registration) out += wrap("      ", registration_of(*scan.registration, unit));
  }
  return out;
}

}  // namespace scrapetrace::report
