#include "score/score_text.h"

#include <fmt/format.h>

#include "report/table.h"

namespace scrapetrace::score {

using report::table;
using report::TableRow;

namespace {

std::string in_hundred(double value) {
  return fmt::format("{:.1f}", 100 * value);
}

std::string in_hundred(const Estimate& e) {
  if (e.cases == 0) return "-";
  return fmt::format("{:.1f} ({:.1f} to {:.1f})", 100 * e.value, 100 * e.low, 100 * e.high);
}

std::string number(const Estimate& e) {
  if (e.cases == 0) return "-";
  return fmt::format("{:.4f} ({:.4f} to {:.4f})", e.value, e.low, e.high);
}

std::string rank_table(const std::string& title, const std::vector<RankRow>& rows) {
  std::vector<TableRow> cells{{"", "cases", "first", "ideal", "among two", "ideal", "given away"}};
  for (const RankRow& r : rows) {
    if (r.first.cases == 0) continue;
    cells.push_back({r.name, std::to_string(r.first.cases), in_hundred(r.first),
                     r.ideal_first.cases > 0 ? in_hundred(r.ideal_first.value) : "-", in_hundred(r.among_two),
                     r.ideal_among_two.cases > 0 ? in_hundred(r.ideal_among_two.value) : "-",
                     in_hundred(r.given_away)});
  }
  return title + "\n" + table("lrrrrrr", cells) + "\n";
}

std::string sight_table(const std::vector<SightRow>& rows) {
  std::vector<TableRow> cells{{"", "cases", "first target", "first trace", "no target above 50 %"}};
  for (const SightRow& r : rows) {
    if (r.first.cases == 0) continue;
    cells.push_back({r.name, std::to_string(r.first.cases), in_hundred(r.first), in_hundred(r.traced),
                     in_hundred(r.no_target)});
  }
  return cells.size() == 1 ? "" : "Targets and traces apart (%)\n" + table("lrrrr", cells) + "\n";
}

std::string calibration_line(const std::string& whose, const Calibration& c) {
  return fmt::format(
      "  calibration error of {} {:.4f} over {} bins; of true probabilities {:.4f} by chance, 95 in 100 "
      "below "
      "{:.4f}\n",
      whose, c.calibration_error, c.bins.size(), c.chance_error, c.chance_error_95);
}

std::string belief_part(const std::string& who, const BeliefSummary& b) {
  if (b.brier.cases == 0) return {};
  return fmt::format(
      "{}: Brier {}, log loss {}\n"
      "  of the Brier score of named targets {:.4f} is reliability, {:.4f} resolution, {:.4f} uncertainty\n"
      "{}{}",
      who, number(b.brier), number(b.log_loss), b.named.reliability, b.named.resolution, b.named.uncertainty,
      calibration_line("first targets", b.best), calibration_line("all named", b.named));
}

std::string reliability_table(const BeliefSummary& b) {
  std::vector<TableRow> cells{{"targets", "probability", "right"}};
  for (const ReliabilityBin& bin : b.named.bins)
    cells.push_back({std::to_string(bin.targets), in_hundred(bin.probability), in_hundred(bin.right)});
  return "\nReliability of named targets, bins of equal mass (%)\n" + table("rrr", cells) + "\n";
}

std::string detection_tables(const std::vector<DetectionRow>& rows) {
  std::string out;
  for (const DetectionRow& row : rows) {
    if (row.cases == 0) continue;
    std::vector<TableRow> cells{{"d'", "found", "matched filter"}};
    for (const DetectionBin& bin : row.bins)
      cells.push_back({fmt::format("{:.1f}", bin.d_prime), in_hundred(bin.found), in_hundred(bin.bound)});
    out += fmt::format("Detection, {} (%)\n", row.widths) + table("rrr", cells);
    out +=
        row.at_90 > 0
            ? fmt::format("  90 % at d' {:.1f}; the matched filter at {:.1f}: {:.1f} times its contrast\n\n",
                          row.at_90, row.bound_at_90, row.at_90 / row.bound_at_90)
            : "  too few found or missed to say where 90 % are found\n\n";
  }
  return out;
}

std::string position_part(const std::string& who, const PositionSummary& p) {
  if (p.cases == 0) return {};
  return fmt::format("{}: {} cases, RMS error {:.4f} mm, claimed {:.4f} mm, bound {:.4f} mm: {:.2f} times\n",
                     who, p.cases, p.rms_error_mm, p.rms_claimed_mm, p.rms_bound_mm,
                     p.rms_bound_mm > 0 ? p.rms_error_mm / p.rms_bound_mm : 0);
}

std::string evidence_table(const std::vector<EvidenceRow>& rows) {
  if (rows.empty()) return {};
  std::vector<TableRow> cells{{"", "first (%)", "log loss", "log loss gained", "right first gained (%)"}};
  for (const EvidenceRow& row : rows) {
    const bool one = &row == &rows.front();
    cells.push_back({row.name, in_hundred(row.first), number(row.log_loss), one ? "" : number(row.gain),
                     one ? "" : in_hundred(row.first_gain)});
  }
  return fmt::format("\nMore to go by, the same {} cases\n", rows.front().first.cases) +
         table("lrrrr", cells);
}

std::string cause_table(const ScoreSummary& s) {
  TableRow head{"true \\ named"};
  for (std::size_t c = 0; c < kCauseCount; ++c) head.emplace_back(to_string(static_cast<Cause>(c)));
  head.emplace_back("none");
  std::vector<TableRow> cells{head};
  for (std::size_t t = 0; t < kCauseCount; ++t) {
    if (static_cast<Cause>(t) == Cause::unknown) continue;
    TableRow row{to_string(static_cast<Cause>(t))};
    for (const int n : s.causes[t]) row.push_back(std::to_string(n));
    cells.push_back(row);
  }
  TableRow none{"none"};
  for (const int n : s.false_streaks) none.push_back(std::to_string(n));
  none.emplace_back("");
  cells.push_back(none);
  return "Causes\n" + table("lrrrrrrr", cells) + "\n";
}

}  // namespace

std::string score_text(const ScoreSummary& s) {
  std::string out =
      fmt::format("{} cases, {} of them with a scan that could not be analysed\n\n", s.cases, s.not_analysed);
  out += rank_table("Targets and traces together: head, side and surface (%)", s.targets);
  out += rank_table("Sides of heads (%)", s.sides);
  out += sight_table(s.sight);
  out += belief_part("locate", s.located) + belief_part("ideal reader", s.ideal);
  out += reliability_table(s.located);
  out += detection_tables(s.detection);
  out += "Position of the residue\n" + position_part("  locate", s.position) +
         position_part("  ideal reader", s.ideal_position) + "\n";
  out += cause_table(s);
  out += fmt::format("Clean pages with a target above 50 %: {} % of {}\n", in_hundred(s.false_targets),
                     s.false_targets.cases);
  out += fmt::format("Clean pages with a trace above 50 %: {} % of {}\n", in_hundred(s.false_traces),
                     s.false_traces.cases);
  out += fmt::format("One dead jet, 400 dpi or finer: head {} %, ink {} %, all with jet {} % of {}\n",
                     in_hundred(s.jet_head), in_hundred(s.jet_ink), in_hundred(s.jet_all), s.jet_all.cases);
  out += fmt::format("Residue taken for a dead jet {} %, a dead jet for residue {} %\n",
                     in_hundred(s.residue_as_jet), in_hundred(s.jet_as_residue));
  out += evidence_table(s.evidence);
  return out;
}

}  // namespace scrapetrace::score
