#include "report/phrases.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/words.h"
#include "scrapetrace/sight.h"

namespace scrapetrace::report {

namespace {

constexpr double kWorthNaming = 0.01;
constexpr double kWorthATreatment = 0.1;  // as in the answer: below, another print is cheaper

// Upstream or downstream of the jets, with its probability.
std::string contact_side(const ResidueFit& fit) {
  constexpr double kUndecided = 0.8;
  const double probability = fit.downstream ? fit.probability_downstream : 1 - fit.probability_downstream;
  if (probability < kUndecided) return "upstream or downstream of its jets alike";
  return fmt::format("{} of its jets ({})", fit.downstream ? "downstream" : "upstream", percent(probability));
}

}  // namespace

std::string where_on_print(const Target& target, const Findings& findings, LengthUnit unit) {
  std::string out;
  for (const Streak& streak : findings.streaks) {
    if (std::find(target.streaks.begin(), target.streaks.end(), streak.id) == target.streaks.end()) continue;
    out += fmt::format("{}streak {} at {}", out.empty() ? "" : ", ", streak.id,
                       length(streak.x_sheet_mm, 1, unit));
  }
  if (out.empty()) out = length(target.x_sheet_mm, 1, unit);
  return out + " from the sheet's left edge, printed side up, lead edge at the top";
}

std::string where_on_drum(const Target& target, LengthUnit unit) {
  return fmt::format("X {}; over {} of the sheet while its carriage is at home",
                     length(target.x_drum_mm, 1, unit), length(target.x_sheet_mm, 1, unit));
}

std::string streak_numbers(const std::vector<std::size_t>& ids) {
  std::string out = ids.size() == 1 ? "streak " : "streaks ";
  for (std::size_t i = 0; i < ids.size(); ++i) out += (i > 0 ? ", " : "") + std::to_string(ids[i]);
  return out;
}

std::string spans(const std::vector<Interval>& intervals, LengthUnit unit) {
  std::string out;
  for (const Interval& span : intervals) {
    out += fmt::format("{}{} to {}", out.empty() ? "" : ", ", length_value(span.from_mm, 0, unit),
                       length_value(span.to_mm, 0, unit));
  }
  return out.empty() ? "unknown" : out + ' ' + unit_word(unit);
}

std::string amount_of(const Streak& streak) {
  std::string out = streak.loss < 0 ? fmt::format("{} more ink", percent(-streak.loss))
                                    : fmt::format("{} of the ink missing", percent(streak.loss));
  for (std::size_t i = 0; i < streak.inks.size(); ++i)
    out += (i == 0 ? " in " : ", ") + printable(streak.inks[i]);
  return out;
}

std::string sight_of_streak(const Streak& streak) {
  if (streak.likeliest() == Cause::scanner_line && !streak.visible)
    return "not on the print, so nobody sees it there";
  return fmt::format("{} (contrast {} L* at {:.0f} mm; {} is needed)",
                     streak.visible ? "an eye sees it" : "too faint for an eye to see",
                     decimals(streak.contrast, 2), kReadingDistance_mm, decimals(kLeastContrast, 1));
}

std::vector<Cause> causes_by_probability(const Streak& streak) {
  std::vector<Cause> out;
  for (std::size_t i = 0; i < kCauseCount; ++i) {
    if (streak.causes[i] >= kWorthNaming) out.push_back(static_cast<Cause>(i));
  }
  std::stable_sort(out.begin(), out.end(), [&](Cause a, Cause b) {
    return streak.causes[static_cast<std::size_t>(a)] > streak.causes[static_cast<std::size_t>(b)];
  });
  return out;
}

std::string fit_of(const ResidueFit& fit, LengthUnit unit) {
  if (fit.poor) {
    return fmt::format(
        "contact about {} wide near X {} (+-{}) on carriage {}; it fits roughly only: no plain contact draws "
        "such a streak. Hold the print against the carriage as well",
        length(fit.width_mm, 1, unit), length(fit.x_drum_mm, 1, unit), length_value(fit.x_sigma_mm, 1, unit),
        printable(fit.carriage));
  }
  if (!fit.width_resolved) {
    return fmt::format(
        "contact at X {} (+-{}) on carriage {}, {}; too narrow for this scan to tell its width from what it "
        "takes: width times the part of the ink that each touch takes is {} (+-{})",
        length(fit.x_drum_mm, 1, unit), length_value(fit.x_sigma_mm, 2, unit), printable(fit.carriage),
        contact_side(fit), length(fit.width_times_loss_mm, 3, unit),
        length_value(fit.width_times_loss_sigma_mm, 3, unit));
  }
  return fmt::format("contact {} wide at X {} (+-{}) on carriage {}, {}; takes {} of the ink at each touch",
                     length(fit.width_mm, 1, unit), length(fit.x_drum_mm, 1, unit),
                     length_value(fit.x_sigma_mm, 2, unit), printable(fit.carriage), contact_side(fit),
                     percent(fit.loss));
}

std::string jet_of(const JetFit& jet) {
  return fmt::format(
      "head {}, ink {}, jet {}{}", printable(jet.head), printable(jet.ink), jet.jet,
      jet.loss < 0.95 ? fmt::format(" (weak: {} of its ink missing)", percent(jet.loss)) : " (dead)");
}

std::string seam_of(const SeamFit& seam, LengthUnit unit) {
  return fmt::format("heads {} and {}: {} of {}", printable(seam.left_head), printable(seam.right_head),
                     seam.gap_mm < 0 ? "an overlap" : "a gap", length(std::abs(seam.gap_mm), 3, unit));
}

std::string other_cause_of(const Streak& streak, LengthUnit unit) {
  const Cause cause = streak.likeliest();
  std::string what = cause_words(cause);
  if (cause == Cause::dead_jet && streak.jet) what += ", " + jet_of(*streak.jet);
  if (cause == Cause::seam_mismatch && streak.seam) what += ", " + seam_of(*streak.seam, unit);
  if (cause == Cause::scanner_line && streak.kept_scan_column.value_or(false))
    what += ", confirmed: it kept its place in the scan when the sheet was turned";
  if (cause == Cause::drum_scratch || cause == Cause::blade_haze) {
    what += fmt::format(" at X {}", length(streak.x_drum_mm, 1, unit));
  }
  return what + fmt::format(" ({}). {}", percent(streak.causes[static_cast<std::size_t>(cause)]),
                            cause_advice(cause));
}

// Shown before the visits: places that must not be scraped are not among them.
std::string before_visits(const Findings& findings) {
  std::string ranks;
  for (std::size_t i = 0; i < findings.targets.size(); ++i) {
    const Target& target = findings.targets[i];
    if (target.never_scrape() && target.probability >= kWorthATreatment)
      ranks += (ranks.empty() ? "" : ", ") + std::to_string(i + 1);
  }
  if (ranks.empty()) return {};
  return fmt::format(
      " For {}, among the jets: the machine's own head cleaning before any visit, never a scraper.", ranks);
}

std::string order_words(const Findings& findings) {
  if (findings.order.size() < 2) return {};
  std::string visits;
  for (const CleaningStep& step : findings.order) {
    std::string together;
    for (const std::size_t target : step.targets)
      together += fmt::format("{}{}", together.empty() ? "" : " and ", target + 1);
    visits += (visits.empty() ? "" : ", then ") + together;
  }
  return fmt::format(
      "Quickest on average: {}, with a test print after each; about {} min until all that comes from these "
      "is "
      "gone.{}",
      visits, decimals(findings.expected_cleaning_min, 0), before_visits(findings));
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
    case Datum::tags:
      return "the page's tags and the printed patches' edges";
    case Datum::patch_edges:
      return "the printed patches' edges";
    case Datum::jets:
      return "the jets' own pattern in the print";
    case Datum::sheet_edges:
      return "the sheet's edges (feed play is not seen)";
    case Datum::image_edges:
      break;
  }
  return "the image's edges (weakest: the sheet's place is a guess)";
}

std::string moved_by_jets(const Registration& registration, LengthUnit unit) {
  if (!registration.jets_moved_mm) return {};
  return fmt::format(", moved by {} on the drum to the jets' own pattern",
                     length(std::abs(*registration.jets_moved_mm), 3, unit));
}

}  // namespace scrapetrace::report
