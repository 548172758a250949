// What the answer rests on: the ranking, the streaks, what was not seen, and the scans.

#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "report/text_sections.h"
#include "report/words.h"
#include "report/wrap.h"

namespace scrapetrace::report {

namespace {

constexpr std::size_t kMostTargets = 5;
constexpr double kWorthNaming = 0.01;

std::string spans(const std::vector<Interval>& intervals) {
  std::string out;
  for (const Interval& span : intervals) {
    out += fmt::format("{}{} to {}", out.empty() ? "" : ", ", decimals(span.from_mm, 0),
                       decimals(span.to_mm, 0));
  }
  return out.empty() ? "unknown" : out;
}

std::string causes_of(const Streak& streak) {
  std::vector<std::size_t> order{0, 1, 2, 3, 4, 5};
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return streak.causes[a] > streak.causes[b]; });
  std::string out;
  for (const std::size_t i : order) {
    if (streak.causes[i] < kWorthNaming) continue;
    out += fmt::format("{}{} {}", out.empty() ? "" : ", ", cause_words(static_cast<Cause>(i)),
                       percent(streak.causes[i]));
  }
  return out.empty() ? "unknown" : out;
}

std::string amount_of(const Streak& streak) {
  std::string out = streak.loss < 0 ? fmt::format("{} more ink", percent(-streak.loss))
                                    : fmt::format("{} of the ink missing", percent(streak.loss));
  for (std::size_t i = 0; i < streak.inks.size(); ++i)
    out += (i == 0 ? " in " : ", ") + printable(streak.inks[i]);
  return out;
}

// Which side of the jets the contact is on, and how sure that is.
std::string contact_side(const ResidueFit& fit) {
  constexpr double kUndecided = 0.8;
  const double probability = fit.downstream ? fit.probability_downstream : 1 - fit.probability_downstream;
  if (probability < kUndecided) return "upstream or downstream of its jets alike";
  return fmt::format("{} of its jets ({})", fit.downstream ? "downstream" : "upstream", percent(probability));
}

std::string fit_of(const ResidueFit& fit) {
  return fmt::format(
      "as residue: contact {} mm wide at X {} mm (+-{}) on carriage {}, {}; takes {} of the ink at each "
      "touch",
      decimals(fit.width_mm, 1), decimals(fit.x_drum_mm, 1), decimals(fit.x_sigma_mm, 2),
      printable(fit.carriage), contact_side(fit), percent(fit.loss));
}

std::string jet_of(const JetFit& jet) {
  return fmt::format(
      "head {}, ink {}, jet {}{}", printable(jet.head), printable(jet.ink), jet.jet,
      jet.loss < 0.95 ? fmt::format(" (weak: {} of its ink missing)", percent(jet.loss)) : " (dead)");
}

std::string one_streak(const Streak& streak) {
  std::string out = wrap(
      fmt::format("  {:>2}  ", streak.id),
      fmt::format("at {} mm from the left (+-{}), {} mm wide, from {} mm down the sheet; {}; "
                  "{} times the noise",
                  decimals(streak.x_sheet_mm, 1), decimals(streak.sigma_mm, 2), decimals(streak.width_mm, 2),
                  spans(streak.y_sheet_mm), amount_of(streak), decimals(streak.z, 0)));
  out += wrap("      ", "cause: " + causes_of(streak));
  if (streak.residue && streak.likeliest() == Cause::residue) out += wrap("      ", fit_of(*streak.residue));
  return out;
}

std::string targets_in(const Unchecked& gap) {
  std::string out;
  for (const auto& target : gap.targets) {
    out +=
        fmt::format("{}{}{}", out.empty() ? "" : "; ", place_name(target.head, target.side, target.surface),
                    target.fraction < 0.995 ? fmt::format(" ({} of it)", percent(target.fraction)) : "");
  }
  return out.empty() ? "no target" : out;
}

const char* datum_words(Datum datum) {
  switch (datum) {
    case Datum::patch_edges:
      return "the printed patches' edges";
    case Datum::sheet_edges:
      return "the sheet's edges (feed play is not seen)";
    case Datum::image_edges:
      break;
  }
  return "the image's edges (weakest: the sheet's place is a guess)";
}

std::string registration_of(const Registration& registration) {
  return fmt::format(
      "placed by {}, {} points; {} dpi (from {}), skew {} deg, turn {} deg{}, scale {} x {}; predicted "
      "error {} mm on the drum",
      datum_words(registration.datum), registration.marks, decimals(registration.dpi, 1),
      printable(registration.dpi_source), decimals(registration.skew_deg, 2), registration.turn_deg,
      registration.face_mirrored ? ", mirrored" : "", decimals(registration.scale_x, 4),
      decimals(registration.scale_y, 4), decimals(registration.predicted_error_mm, 2));
}

}  // namespace

std::string ranking_section(const Findings& findings) {
  if (findings.targets.empty()) return {};
  std::string out = "Targets, likeliest first\n";
  const std::size_t shown = std::min(kMostTargets, findings.targets.size());
  for (std::size_t i = 0; i < shown; ++i) {
    const Target& target = findings.targets[i];
    out +=
        wrap(fmt::format("  {}. {:>10}  ", i + 1, percent(target.probability)),
             fmt::format("{}; X {} mm; about {} min{}", place_name(target.head, target.side, target.surface),
                         decimals(target.x_drum_mm, 1), decimals(target.effort_min, 0),
                         target.over_jets ? "; AMONG THE JETS: never scrape there" : ""));
  }
  if (shown < findings.targets.size()) {
    out += fmt::format("  and {} less likely (all are in the JSON)\n", findings.targets.size() - shown);
  }
  return out;
}

std::string streaks_section(const Findings& findings) {
  if (findings.streaks.empty()) return {};
  std::string out = "Streaks, left to right\n";
  for (const Streak& streak : findings.streaks) out += one_streak(streak);
  return out;
}

std::string other_section(const Findings& findings) {
  std::string out;
  for (const Streak& streak : findings.streaks) {
    const Cause cause = streak.likeliest();
    if (!is_other(streak)) continue;
    std::string what = fmt::format("streak {}: {}", streak.id, cause_words(cause));
    if (cause == Cause::dead_jet && streak.jet) what += ", " + jet_of(*streak.jet);
    if (cause == Cause::drum_scratch || cause == Cause::blade_haze) {
      what += fmt::format(" at X {} mm", decimals(streak.x_drum_mm, 1));
    }
    what += fmt::format(" ({}). {}", percent(streak.causes[static_cast<std::size_t>(cause)]),
                        cause_advice(cause));
    out += wrap("  - ", what);
  }
  return out.empty() ? out : "Not a scrape\n" + out;
}

std::string unchecked_section(const Findings& findings) {
  if (findings.unchecked.empty()) return {};
  std::string out = "Not checked: these stay unknown, not clean\n";
  for (const Unchecked& gap : findings.unchecked) {
    out +=
        wrap("  - ", fmt::format("X {} to {} mm: {}. Targets: {}", decimals(gap.x_drum_mm.from_mm, 1),
                                 decimals(gap.x_drum_mm.to_mm, 1), printable(gap.reason), targets_in(gap)));
  }
  return out;
}

std::string scans_section(const Findings& findings) {
  std::string out = "Scans\n";
  for (const ScanReport& scan : findings.scans) {
    out += wrap("  - ", fmt::format("{}: {}", printable(scan.file),
                                    scan.analysed() ? to_string(scan.verdict) : "could not be analysed"));
    for (const auto& reason : scan.reasons) out += wrap("      ", printable(reason));
    if (scan.registration) out += wrap("      ", registration_of(*scan.registration));
  }
  return out;
}

}  // namespace scrapetrace::report
