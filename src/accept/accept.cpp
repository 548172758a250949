#include "scrapetrace/accept.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "accept/streak_colour.h"
#include "accept/verdict_consistency.h"
#include "visual/sensitivity.h"

namespace scrapetrace {

namespace {

constexpr double kSurely = 0.95;
constexpr double kPerhaps = 0.05;

double chance(const Streak& streak, Cause cause) {
  return streak.causes[static_cast<std::size_t>(cause)];
}

// Whether an item belongs to those that count.
enum class Counts { no, perhaps, surely };
Counts counts(double probability) {
  if (probability >= kSurely) return Counts::surely;
  return probability > kPerhaps ? Counts::perhaps : Counts::no;
}

// Streaks on the print; dead jets have their own limit unless `jets` includes them.
Counts on_print(const Streak& streak, bool jets) {
  return counts(1 - chance(streak, Cause::scanner_line) - (jets ? 0 : chance(streak, Cause::dead_jet)));
}

class Judging {
 public:
  Judging(const Layout& layout, const Chart* chart, const Findings& findings, const Limits& limits,
          const std::vector<JetChange>* jets)
      : layout_(layout), chart_(chart), findings_(findings), limits_(limits), jets_(jets), columns_(layout) {}

  std::vector<LimitVerdict> all() {
    judge_scans();
    if (findings_.scans.size() > 1) judge_mixed();
    if (limits_.loss_max) {
      judge_sight();
      judge_values(LimitKind::loss, *limits_.loss_max, false, [](const Streak& s) {
        return std::pair{std::max(0.0, s.loss), s.z > 0 ? std::abs(s.loss) / s.z : 0.0};
      });
    }
    if (limits_.width_max_mm) {
      judge_values(LimitKind::width, *limits_.width_max_mm, false, [&](const Streak& s) {
        return std::pair{s.width_mm, s.residue ? s.residue->width_sigma_mm : layout_.px_mm()};
      });
    }
    if (limits_.number_max) judge_number();
    if (limits_.delta_e_max) judge_visible();
    if (limits_.dead_max_per_head) judge_jets();
    if (limits_.lost_max) judge_lost();
    if (limits_.sides_max) judge_sides();
    return std::move(out_);
  }

 private:
  // What cannot be seen may hide a fault, so it gives "cannot judge" instead of "fail".
  void judge_scans() {
    LimitVerdict found{LimitKind::scans, Verdict::pass, 0, 0, 0, {}, {}, {}};
    for (const auto& scan : findings_.scans) {
      if (scan.analysed()) continue;
      found.scans.push_back(scan.file);
      found.verdict = Verdict::cannot_judge;
    }
    found.measured = static_cast<double>(found.scans.size());
    out_.push_back(std::move(found));
  }

  // Prints of two machines or two states have no common verdict.
  void judge_mixed() {
    LimitVerdict found{LimitKind::mixed, Verdict::pass, 0, 0, 0, {}, {}, {}};
    for (const ScanReport* scan : contradicting(findings_)) found.scans.push_back(scan->file);
    found.measured = static_cast<double>(found.scans.size());
    if (!found.scans.empty()) found.verdict = Verdict::cannot_judge;
    out_.push_back(std::move(found));
  }

  void judge_sight() {
    LimitVerdict found{
        LimitKind::sight, Verdict::pass, *limits_.loss_max * limits_.seen_from_mm, 0, 0, {}, {}, {}};
    const ScanReport* worst = nullptr;
    for (const auto& scan : findings_.scans) {
      if (!scan.analysed()) continue;
      if (worst == nullptr || scan.finest_streak_mm > found.measured) worst = &scan;
      found.measured = std::max(found.measured, scan.finest_streak_mm);
      if (scan.finest_streak_mm <= found.limit) continue;
      found.scans.push_back(scan.file);
      found.verdict = Verdict::cannot_judge;
    }
    if (found.verdict == Verdict::pass && worst != nullptr) found.scans.push_back(worst->file);
    out_.push_back(std::move(found));
  }

  // The worst value over the streaks; `value` returns it with its standard deviation.
  template <class Value>
  void judge_values(LimitKind kind, double limit, bool jets, const Value& value) {
    LimitVerdict found{kind, Verdict::pass, limit, 0, 0, {}, {}, {}};
    const Streak* worst = nullptr;
    for (const Streak& streak : findings_.streaks) {
      const Counts part = on_print(streak, jets);
      if (part == Counts::no) continue;
      const auto [measured, sigma] = value(streak);
      if (measured > found.measured) found.measured = measured, found.sigma = sigma, worst = &streak;
      const double over = measured - limit;
      if (over <= -limits_.guard * sigma) continue;
      const bool sure = over > limits_.guard * sigma && part == Counts::surely;
      blame(found, streak, sure ? Verdict::fail : Verdict::cannot_judge);
    }
    if (found.verdict == Verdict::pass && worst != nullptr) blame(found, *worst, Verdict::pass);
    out_.push_back(std::move(found));
  }

  void judge_number() {
    LimitVerdict found{
        LimitKind::number, Verdict::pass, static_cast<double>(*limits_.number_max), 0, 0, {}, {}, {}};
    int surely = 0;
    int perhaps = 0;
    for (const Streak& streak : findings_.streaks) {
      const Counts part = on_print(streak, false);
      if (part == Counts::no || !findings_.counts(streak)) continue;
      (part == Counts::surely ? surely : perhaps) += 1;
      blame(found, streak, Verdict::pass);
    }
    found.measured = surely + perhaps;
    if (surely + perhaps > *limits_.number_max) found.verdict = Verdict::cannot_judge;
    if (surely > *limits_.number_max) found.verdict = Verdict::fail;
    out_.push_back(std::move(found));
  }

  void judge_visible() {
    const double pitch_mm = layout_.px_mm() * layout_.transfer.scale_cross;
    const auto profiles_of = [&](const Streak& streak) {
      return accept_detail::colour_profiles(layout_, columns_, chart_, streak);
    };
    std::size_t longest = 0;
    for (const Streak& streak : findings_.streaks) {
      for (const auto& profile : profiles_of(streak)) longest = std::max(longest, profile.size());
    }
    const visual::StripeFilter eye(visual::barten_weight(limits_.luminance_cd_m2),
                                   limits_.viewing_distance_mm, static_cast<double>(longest) * pitch_mm);
    judge_values(LimitKind::visible, *limits_.delta_e_max, true, [&](const Streak& streak) {
      double worst = 0;
      for (const auto& profile : profiles_of(streak))
        worst = std::max(worst, eye.peak_response(profile, pitch_mm));
      return std::pair{worst, streak.z > 0 ? worst / streak.z : 0.0};
    });
  }

  void judge_jets() {
    LimitVerdict found{LimitKind::dead_jets,
                       Verdict::pass,
                       static_cast<double>(*limits_.dead_max_per_head),
                       0,
                       0,
                       {},
                       {},
                       {}};
    std::map<std::string, std::pair<int, int>> dead;  // per head: certain, and including possible
    for (const Streak& streak : findings_.streaks) {
      const Counts part = counts(chance(streak, Cause::dead_jet));
      if (part == Counts::no || !streak.jet || streak.jet->loss < limits_.dead_from_loss) continue;
      auto& [surely, at_most] = dead[streak.jet->head];
      surely += part == Counts::surely ? 1 : 0;
      at_most += 1;
    }
    for (const auto& [head, number] : dead)
      found.measured = std::max(found.measured, static_cast<double>(number.second));
    for (const auto& [head, number] : dead) {
      const bool within = number.second <= *limits_.dead_max_per_head;
      // If no head exceeds the limit, keep those nearest to it.
      if (within && (number.second < found.measured || found.measured > found.limit)) continue;
      found.places.push_back(head);
      const Verdict verdict = within                                      ? Verdict::pass
                              : number.first > *limits_.dead_max_per_head ? Verdict::fail
                                                                          : Verdict::cannot_judge;
      for (const Streak& streak : findings_.streaks) {
        if (streak.jet && streak.jet->head == head && streak.jet->loss >= limits_.dead_from_loss &&
            counts(chance(streak, Cause::dead_jet)) != Counts::no)
          blame(found, streak, verdict);
      }
    }
    out_.push_back(std::move(found));
  }

  // Jets lost by a cleaning mean a ruined head. A jet that may have been lost before, or may be something
  // else, only prevents a pass.
  void judge_lost() {
    LimitVerdict found{
        LimitKind::lost_jets, Verdict::pass, static_cast<double>(*limits_.lost_max), 0, 0, {}, {}, {}};
    int surely = 0;
    std::set<std::string> heads;
    const auto none = std::vector<JetChange>();
    for (const JetChange& jet : jets_ != nullptr ? *jets_ : none) {
      if (jet.state == JetState::was_so) continue;
      surely += jet.state == JetState::lost && counts(jet.probability) == Counts::surely ? 1 : 0;
      found.measured += 1;
      heads.insert(jet.head);
      for (const Streak& streak : findings_.streaks) {
        if (streak.id == jet.after) blame(found, streak, Verdict::pass);
      }
    }
    found.places.assign(heads.begin(), heads.end());
    if (jets_ == nullptr || found.measured > found.limit) found.verdict = Verdict::cannot_judge;
    if (surely > *limits_.lost_max) found.verdict = Verdict::fail;
    out_.push_back(std::move(found));
  }

  void judge_sides() {
    LimitVerdict found{
        LimitKind::unchecked_sides, Verdict::pass, static_cast<double>(*limits_.sides_max), 0, 0, {}, {}, {}};
    std::set<std::string> sides;
    for (const auto& gap : findings_.unchecked) {
      for (const auto& target : gap.targets) sides.insert(target.head + ":" + to_string(target.side));
    }
    found.measured = static_cast<double>(sides.size());
    found.places.assign(sides.begin(), sides.end());
    if (found.measured > found.limit) found.verdict = Verdict::cannot_judge;
    out_.push_back(std::move(found));
  }

  void blame(LimitVerdict& found, const Streak& streak, Verdict verdict) const {
    if (verdict == Verdict::fail || found.verdict == Verdict::pass) found.verdict = verdict;
    found.streaks.push_back(streak.id);
    for (const std::size_t scan : streak.scans) {
      const auto& file = findings_.scans[scan].file;
      if (std::find(found.scans.begin(), found.scans.end(), file) == found.scans.end())
        found.scans.push_back(file);
    }
  }

  const Layout& layout_;
  const Chart* chart_;
  const Findings& findings_;
  const Limits& limits_;
  const std::vector<JetChange>* jets_;
  geometry::ColumnMap columns_;
  std::vector<LimitVerdict> out_;
};

}  // namespace

const char* to_string(Verdict verdict) {
  if (verdict == Verdict::pass) return "pass";
  return verdict == Verdict::fail ? "fail" : "cannot_judge";
}

const char* to_string(LimitKind kind) {
  switch (kind) {
    case LimitKind::scans:
      return "scans";
    case LimitKind::mixed:
      return "scans.mixed";
    case LimitKind::sight:
      return "streak.seen_from_mm";
    case LimitKind::loss:
      return "streak.loss_max";
    case LimitKind::width:
      return "streak.width_max_mm";
    case LimitKind::number:
      return "streak.number_max";
    case LimitKind::visible:
      return "visible.delta_e_max";
    case LimitKind::dead_jets:
      return "jets.dead_max_per_head";
    case LimitKind::lost_jets:
      return "jets.lost_max";
    case LimitKind::unchecked_sides:
      break;
  }
  return "unchecked.sides_max";
}

std::vector<const ScanReport*> contradicting(const Findings& findings) {
  std::vector<const ScanReport*> out;
  for (const ScanReport& scan : findings.scans) {
    if (std::find(scan.issues.begin(), scan.issues.end(), ScanIssue::other_sheet) != scan.issues.end())
      out.push_back(&scan);
  }
  return out;
}

Verdict verdict_of(const std::vector<LimitVerdict>& limits) {
  Verdict out = Verdict::pass;
  for (const auto& limit : limits) {
    if (limit.verdict == Verdict::pass) continue;
    if (limit.kind == LimitKind::mixed) return Verdict::cannot_judge;
    if (out != Verdict::fail) out = limit.verdict;
  }
  return out;
}

Acceptance accept(const Layout& layout, const Chart* chart, const Findings& findings, const Limits& limits,
                  const std::vector<JetChange>* jets) {
  Acceptance out;
  out.limits = Judging(layout, chart, findings, limits, jets).all();
  out.verdict = accept_detail::together(out.limits, findings.any_scan_analysed());
  // Finding nothing on scans that hardly show the machine is no pass.
  const bool silent = !findings.looked() || findings.layout_unproved();
  if (silent && out.verdict == Verdict::pass) out.verdict = Verdict::cannot_judge;
  return out;
}

}  // namespace scrapetrace
