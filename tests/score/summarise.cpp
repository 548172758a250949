#include <algorithm>
#include <cmath>
#include <functional>

#include "geometry/zones.h"
#include "score/box_scan.h"
#include "score/case.h"
#include "score/detection.h"
#include "score/evidence_rows.h"
#include "score/priors.h"
#include "score/statistics.h"
#include "score/summary.h"
#include "scrapetrace/locate.h"
#include "scrapetrace/sight.h"

namespace scrapetrace::score {

namespace {

constexpr double kSure = 0.5;    // above it somebody opens the machine
constexpr double kNamed = 0.01;  // targets below are noise in a reliability curve
constexpr int kBins = 10;
constexpr int kDetectionBins = 8;
constexpr double kFineDpi = 400;

using Beliefs = std::vector<double>;
using Pick = std::function<bool(const CaseRecord&)>;

bool ranked(const CaseRecord& r) {
  return r.truth >= 0 && r.kind != CaseKind::faint && r.kind != CaseKind::evidence;
}

// Beliefs and truth, per target or per side of a head.
struct View {
  Beliefs located;
  Beliefs ideal;
  int truth = -1;
};

View by_target(const Layout& /*layout*/, const CaseRecord& r) {
  return {together(r.located, r.traced), r.ideal, r.truth};
}

View by_side(const Layout& layout, const CaseRecord& r) {
  const View all = by_target(layout, r);
  const auto zones = geometry::target_zones(layout);
  const auto side_of = [&](std::size_t z) {
    return 2 * zones[z].head + (layout.zones[zones[z].zone].side == Side::right ? 1 : 0);
  };
  View out;
  out.truth = static_cast<int>(side_of(static_cast<std::size_t>(all.truth)));
  const auto add_up = [&](const Beliefs& from, Beliefs& to) {
    if (from.empty()) return;
    to.assign(2 * layout.heads.size(), 0.0);
    for (std::size_t z = 0; z < from.size(); ++z) to[side_of(z)] += from[z];
  };
  add_up(all.located, out.located);
  add_up(all.ideal, out.ideal);
  return out;
}

std::size_t best_of(const Beliefs& beliefs) {
  return static_cast<std::size_t>(std::max_element(beliefs.begin(), beliefs.end()) - beliefs.begin());
}

// With nothing named, locate's choice is worth nothing.
double given_away(const View& view) {
  const double most = view.ideal[best_of(view.ideal)];
  if (view.located.empty() || view.located[best_of(view.located)] <= 0) return most;
  return most - view.ideal[best_of(view.located)];
}

bool any_sure(const Beliefs& beliefs) {
  return std::any_of(beliefs.begin(), beliefs.end(), [](double p) { return p > kSure; });
}

class Summariser {
 public:
  Summariser(const std::vector<ScoreMachine>& machines, const std::vector<CaseRecord>& records,
             std::uint64_t seed)
      : machines_(machines), records_(records), seed_(seed) {}

  [[nodiscard]] std::vector<RankRow> rank_rows(View (*view)(const Layout&, const CaseRecord&)) const {
    std::vector<RankRow> rows;
    for (const auto& m : machines_)
      rows.push_back(rank_row(m.name, view, [&](const CaseRecord& r) { return r.machine == m.name; }));
    rows.push_back(rank_row("all", view, [](const CaseRecord&) { return true; }));
    for (const CaseKind kind : {CaseKind::residue, CaseKind::low_loss, CaseKind::cut})
      rows.push_back(rank_row(to_string(kind), view, [=](const CaseRecord& r) { return r.kind == kind; }));
    return rows;
  }

  [[nodiscard]] std::vector<SightRow> sight() const {
    return {sight_row("an eye sees it", true), sight_row("too faint to see", false)};
  }

  [[nodiscard]] BeliefSummary beliefs(bool ideal) const {
    std::vector<double> briers;
    std::vector<double> losses;
    std::vector<Claim> named;
    std::vector<Claim> best;
    for (const CaseRecord& r : records_) {
      if (!ranked(r) || (ideal && r.ideal.empty())) continue;
      const View view = by_target(layout_of(r), r);
      const Beliefs& given = ideal ? view.ideal : view.located;
      losses.push_back(loss_of(given, r.truth));
      double sum = given.empty() ? 1 : 0;
      for (std::size_t z = 0; z < given.size(); ++z) {
        const bool right = static_cast<int>(z) == r.truth;
        sum += std::pow(given[z] - (right ? 1 : 0), 2);
        if (given[z] >= kNamed) named.push_back({given[z], right});
        if (given[z] >= kNamed && z == best_of(given)) best.push_back({given[z], right});
      }
      briers.push_back(sum);
    }
    return {bootstrap_mean(briers, seed_), bootstrap_mean(losses, seed_), calibrate(named, kBins, seed_),
            calibrate(best, kBins, seed_)};
  }

  [[nodiscard]] std::vector<DetectionRow> detection() const {
    double threshold = 0;  // the machines' mean, as the step is
    double px_mm = 0;
    for (const auto& m : machines_) {
      const auto part = 1 / static_cast<double>(machines_.size());
      const Interval printed = printed_drum(m.layout, m.chart);
      const double px = m.layout.px_mm();
      const BoxScan scan{(printed.to_mm - printed.from_mm) / px, kNarrowest_mm / px, 4 * kWidest_mm / px};
      threshold += part * scan_threshold(scan, LocateOptions{}.false_alarm_rate);
      px_mm += part * px;
    }
    const auto row = [&](const std::string& name, double from_mm, double to_mm, bool with_jpegs) {
      std::vector<Trial> trials;
      double log_width = 0;
      for (const CaseRecord& r : records_) {
        if (!with_jpegs && r.jpeg_quality > 0) continue;
        if (r.kind != CaseKind::faint || r.width_mm < from_mm || r.width_mm >= to_mm || r.d_prime <= 0)
          continue;
        trials.push_back({r.d_prime, r.detected});
        log_width += std::log(r.width_mm / px_mm);
      }
      const double count = static_cast<double>(std::max<std::size_t>(1, trials.size()));
      return detection_row(name, trials, {threshold, std::exp(log_width / count)}, kDetectionBins);
    };
    // The matched filter does not know what a coder has rounded away.
    return {row("0.3 to 0.7 mm", 0, 0.7, true), row("0.7 to 1.7 mm", 0.7, 1.7, true),
            row("1.7 to 4 mm", 1.7, 100, true), row("all but JPEGs", 0, 100, false),
            row("all", 0, 100, true)};
  }

  // A cut one has no middle; one known to half a millimetre at best would be all of the mean.
  [[nodiscard]] PositionSummary position(bool ideal) const {
    constexpr double kOpen_mm = 0.5;
    PositionSummary out;
    for (const CaseRecord& r : records_) {
      const auto& p = ideal ? r.ideal_position : r.position;
      if (!ranked(r) || r.kind == CaseKind::cut || !p || p->bound_mm > kOpen_mm) continue;
      ++out.cases;
      out.rms_error_mm += p->error_mm * p->error_mm;
      out.rms_claimed_mm += p->claimed_mm * p->claimed_mm;
      out.rms_bound_mm += p->bound_mm * p->bound_mm + p->registration_mm * p->registration_mm;
    }
    for (double* sum : {&out.rms_error_mm, &out.rms_claimed_mm, &out.rms_bound_mm})
      *sum = out.cases > 0 ? std::sqrt(*sum / out.cases) : 0;
    return out;
  }

  void causes(ScoreSummary& out) const {
    for (const CaseRecord& r : records_) {
      for (const CauseRecord& c : r.causes)
        ++out.causes[static_cast<std::size_t>(c.truth)]
                    [c.named ? static_cast<std::size_t>(*c.named) : kCauseCount];
      for (const Cause c : r.false_streaks) ++out.false_streaks[static_cast<std::size_t>(c)];
    }
    const auto mixed_up = [&](Cause truth, Cause named) {
      const auto& row = out.causes[static_cast<std::size_t>(truth)];
      int all = 0;
      for (const int n : row) all += n;
      return share(row[static_cast<std::size_t>(named)], all);
    };
    out.residue_as_jet = mixed_up(Cause::residue, Cause::dead_jet);
    out.jet_as_residue = mixed_up(Cause::dead_jet, Cause::residue);
  }

  void pages(ScoreSummary& out) const {
    int clean = 0;
    int wrong = 0;
    int traced = 0;
    int jets = 0;
    int heads = 0, inks = 0, all = 0;
    for (const CaseRecord& r : records_) {
      if (!r.analysed) ++out.not_analysed;
      if (r.truth < 0) {
        ++clean;
        wrong += any_sure(r.located) ? 1 : 0;
        traced += any_sure(r.traced) ? 1 : 0;
      }
      if (!r.jet || r.dpi < kFineDpi) continue;
      ++jets;
      heads += r.jet->head ? 1 : 0;
      inks += r.jet->ink ? 1 : 0;
      all += r.jet->head && r.jet->ink && r.jet->jet ? 1 : 0;
    }
    out.false_targets = share(wrong, clean);
    out.false_traces = share(traced, clean);
    out.jet_head = share(heads, jets);
    out.jet_ink = share(inks, jets);
    out.jet_all = share(all, jets);
  }

 private:
  [[nodiscard]] const Layout& layout_of(const CaseRecord& r) const {
    const auto found = std::find_if(machines_.begin(), machines_.end(),
                                    [&](const ScoreMachine& m) { return m.name == r.machine; });
    return found->layout;
  }

  [[nodiscard]] SightRow sight_row(const std::string& name, bool seen) const {
    double first = 0, traced = 0;
    int cases = 0, none = 0;
    for (const CaseRecord& r : records_) {
      if (!ranked(r) || (r.contrast >= kLeastContrast) != seen) continue;
      ++cases;
      first += among_first(r.located, r.truth, 1);
      traced += among_first(r.traced, r.truth, 1);
      none += any_sure(r.located) ? 0 : 1;
    }
    return {name, share(first, cases), share(traced, cases), share(none, cases)};
  }

  [[nodiscard]] RankRow rank_row(const std::string& name, View (*view)(const Layout&, const CaseRecord&),
                                 const Pick& pick) const {
    double first = 0, two = 0, ideal_first = 0, ideal_two = 0;
    int cases = 0, read = 0;
    std::vector<double> away;
    for (const CaseRecord& r : records_) {
      if (!ranked(r) || !pick(r)) continue;
      const View v = view(layout_of(r), r);
      ++cases;
      first += among_first(v.located, v.truth, 1);
      two += among_first(v.located, v.truth, 2);
      if (v.ideal.empty()) continue;
      ++read;
      ideal_first += among_first(v.ideal, v.truth, 1);
      ideal_two += among_first(v.ideal, v.truth, 2);
      away.push_back(given_away(v));
    }
    return {name,
            share(first, cases),
            share(two, cases),
            share(ideal_first, read),
            share(ideal_two, read),
            bootstrap_mean(away, seed_)};
  }

  const std::vector<ScoreMachine>& machines_;
  const std::vector<CaseRecord>& records_;
  std::uint64_t seed_;
};

}  // namespace

ScoreSummary summarise(const std::vector<ScoreMachine>& machines, const std::vector<CaseRecord>& records,
                       std::uint64_t bootstrap_seed) {
  const Summariser s(machines, records, bootstrap_seed);
  ScoreSummary out;
  out.cases = static_cast<int>(records.size());
  out.targets = s.rank_rows(by_target);
  out.sides = s.rank_rows(by_side);
  out.located = s.beliefs(false);
  out.ideal = s.beliefs(true);
  out.detection = s.detection();
  out.position = s.position(false);
  out.ideal_position = s.position(true);
  s.causes(out);
  s.pages(out);
  out.sight = s.sight();
  out.evidence = evidence_rows(records, bootstrap_seed);
  return out;
}

}  // namespace scrapetrace::score
