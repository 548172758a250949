#include "scrapetrace/locate.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "base/time_limit.h"
#include "diagnose/diagnose_region.h"
#include "geometry/zones.h"
#include "locate/compare_before.h"
#include "locate/confirm_lines.h"
#include "locate/doubt_interleave.h"
#include "locate/explain_regions.h"
#include "locate/hold_to_residue.h"
#include "locate/judge_scan.h"
#include "locate/locate_prepared.h"
#include "locate/make_streaks.h"
#include "locate/make_thumbnail.h"
#include "locate/merge_ways.h"
#include "locate/order_targets.h"
#include "locate/prepare_scan.h"
#include "locate/show_streaks.h"
#include "locate/survey.h"
#include "locate/ways_up.h"
#include "locate/weigh_readings.h"
#include "targets/rank_targets.h"
#include "targets/unchecked.h"

namespace scrapetrace {

namespace {

using locate_detail::AnalysedScan;
using locate_detail::Explained;

// Puts streaks left to right on the sheet and numbers them from 1; the order of ties is that of discovery.
// Returns the new index of each.
std::vector<std::size_t> number(std::vector<Streak>& streaks) {
  std::vector<std::size_t> order(streaks.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return streaks[a].x_sheet_mm < streaks[b].x_sheet_mm;
  });
  std::vector<Streak> sorted;
  std::vector<std::size_t> place_of(streaks.size());
  for (std::size_t i = 0; i < order.size(); ++i) {
    place_of[order[i]] = i;
    sorted.push_back(std::move(streaks[order[i]]));
    sorted.back().id = i + 1;
  }
  streaks = std::move(sorted);
  return place_of;
}

// The scans of a job after preparation.
struct PreparedJob {
  std::vector<profile::PreparedScan> scans;                // those that could be analysed
  std::vector<std::optional<page::Placement>> placements;  // per input
};

// The scans from before, as far as they could be read; their reports go to the findings.
std::vector<profile::PreparedScan> take_before(std::vector<AnalysedScan> analysed, Findings& findings) {
  std::vector<profile::PreparedScan> out;
  for (AnalysedScan& scan : analysed) {
    if (scan.prepared) out.push_back(std::move(*scan.prepared));
    findings.before.push_back(std::move(scan.report));
  }
  return out;
}

PreparedJob prepare_job(const Layout& layout, std::vector<AnalysedScan> analysed,
                        const std::vector<ScanInput>& inputs, const LocateOptions& options,
                        LocateResult& result) {
  PreparedJob job;
  auto kept = locate_detail::kept_scan_columns(analysed, inputs);
  for (std::size_t i = 0; i < analysed.size(); ++i) {
    AnalysedScan& scan = analysed[i];
    // Of different sheets, a line at the same place is no more than the same dirt or the same fault.
    if (!options.same_sheet) kept[i].assign(kept[i].size(), std::nullopt);
    result.thumbnails.emplace_back();
    job.placements.emplace_back();
    if (scan.prepared) {
      if (options.thumbnails)
        result.thumbnails.back() = locate_detail::make_thumbnail(*inputs[i].page, scan.placement);
      for (Streak& s : locate_detail::scanner_streaks(layout, scan, i, kept[i]))
        result.findings.streaks.push_back(std::move(s));
      job.scans.push_back(std::move(*scan.prepared));
      job.placements.back() = std::move(scan.placement);
    }
    result.findings.scans.push_back(std::move(scan.report));
  }
  return job;
}

// Of the scan that is placed worst there.
double registration_at(const std::vector<profile::PreparedScan>& scans, double x_drum_mm) {
  double sigma_mm = 0;
  for (const auto& scan : scans) sigma_mm = std::max(sigma_mm, scan.x_sigma_at(x_drum_mm));
  return sigma_mm;
}

std::vector<profile::PreparedScan> counted_from(const diagnose::Before& before,
                                                const std::vector<profile::PreparedScan>& scans) {
  std::vector<profile::PreparedScan> out;
  for (const auto& scan : scans) out.push_back(locate_detail::counted_from(before, scan));
  return out;
}

std::vector<std::vector<diagnose::InkNoise>> noise_of(const geometry::Machine& machine,
                                                      const std::vector<profile::PreparedScan>& scans,
                                                      int threads) {
  std::vector<std::vector<diagnose::InkNoise>> out;
  for (const auto& scan : scans) out.push_back(diagnose::measure_ink_noise(machine, scan, threads));
  return out;
}

double middle_of(const Interval& x) {
  return 0.5 * (x.from_mm + x.to_mm);
}

// `counted`: of the streaks that count, else of the others.
std::vector<Target> targets_of(const diagnose::PageContext& page, const Explained& explained,
                               const diagnose::DiagnoseOptions& options, const Findings& findings,
                               bool counted) {
  std::vector<diagnose::Explanation> explanations;
  std::vector<std::size_t> ids;
  std::vector<double> registration_mm;
  for (const auto& group : explained) {
    for (std::size_t k = 0; k < group.streaks.size(); ++k) {
      if (findings.counts(findings.streaks[group.streaks[k]]) != counted) continue;
      explanations.push_back(group.explanations[k]);
      ids.push_back(group.streaks[k] + 1);
    }
  }
  for (const auto& e : explanations)
    registration_mm.push_back(std::hypot(registration_at(page.scans, middle_of(e.visible_mm)),
                                         page.machine.layout.tolerance.place_mm));
  return diagnose::rank_targets(page.machine, explanations, ids, options.priors.elsewhere, registration_mm);
}

std::vector<AnalysedScan*> prepared(std::vector<AnalysedScan>& scans) {
  std::vector<AnalysedScan*> out;
  for (AnalysedScan& scan : scans) {
    if (scan.prepared) out.push_back(&scan);
  }
  return out;
}

// All scans of a job, one way round each.
struct Lying {
  std::vector<AnalysedScan> now;
  std::vector<AnalysedScan> before;
};

struct ReadWay {
  LocateResult result;
  locate_detail::Misfit misfit;
};

// The answer when every sheet lies as its analysis has it.
ReadWay read_lying(const Layout& layout, Lying analysed, const std::vector<ScanInput>& inputs,
                   const LocateOptions& options) {
  TimeLimit::check();
  locate_detail::judge_together(layout, prepared(analysed.now), prepared(analysed.before));
  LocateResult result;
  Findings& findings = result.findings;
  findings.false_alarm_rate = options.false_alarm_rate;
  findings.faint_too = options.faint_too;
  const PreparedJob job = prepare_job(layout, std::move(analysed.now), inputs, options, result);
  const geometry::Machine machine(layout);
  const auto before = locate_detail::make_before(machine, take_before(std::move(analysed.before), findings),
                                                 options.false_alarm_rate, options.threads);
  diagnose::DiagnoseOptions diagnose_options;
  diagnose_options.scene.same_sheet = options.same_sheet;

  // With scans from before, detection and tracking see losses counted from them; the traces use the
  // originals.
  const bool compare = !before.scans.empty();
  const auto compared = compare ? counted_from(before, job.scans) : std::vector<profile::PreparedScan>();
  const auto& scans = compare ? compared : job.scans;
  const auto regions = timed(options.stages, "search streaks", [&] {
    return locate_detail::survey(machine, scans, options.false_alarm_rate, options.threads);
  });
  // The jets' variation as it is, not what is left of it after comparing.
  const auto noise =
      timed(options.stages, "measure noise", [&] { return noise_of(machine, job.scans, options.threads); });
  const diagnose::PageContext fresh{machine, scans, noise, compare ? &before : nullptr};
  auto explained = timed(options.stages, "explain streaks", [&] {
    return locate_detail::explain_regions(fresh, regions, diagnose_options, options.threads, findings);
  });
  if (compare) {
    const diagnose::PageContext page{machine, job.scans, noise};
    locate_detail::explain_old(page, before, explained, regions, options.false_alarm_rate, options.threads,
                               diagnose_options, findings);
  }
  locate_detail::doubt_interleave(layout, job.scans, findings);
  const auto place_of = number(findings.streaks);
  for (auto& group : explained) {
    for (std::size_t& streak : group.streaks) streak = place_of[streak];
  }
  const Stage stage(options.stages, "rank targets");
  findings.targets = targets_of(fresh, explained, diagnose_options, findings, true);
  findings.traces = targets_of(fresh, explained, diagnose_options, findings, false);
  std::vector<std::vector<Interval>> hidden;
  for (const auto& scan : job.scans) hidden.push_back(locate_detail::hidden_seams(machine, scan));
  findings.unchecked = diagnose::find_unchecked(machine, job.scans, hidden);
  findings.checked = diagnose::checked_part(machine, findings.unchecked);
  if (options.evidence) {
    result.evidence =
        locate_detail::show_streaks(fresh, regions, explained, findings.streaks, inputs, job.placements);
  }
  return {std::move(result), locate_detail::worst_misfit(explained)};
}

// All scans of a job, each in every way round that it may lie; those from before come last.
struct Job {
  std::vector<locate_detail::Ways> ways;
  const std::vector<ScanInput>& inputs;
};

// The answer for one way round of each scan, without its probability, and what it misses (worst_misfit).
// `last`: the scans are needed no more.
std::pair<locate_detail::WeighedAnswer, locate_detail::Misfit> read_as(const Layout& layout, Job& job,
                                                                       const locate_detail::JointWay& joint,
                                                                       bool last,
                                                                       const LocateOptions& options) {
  Lying scans;
  locate_detail::WeighedAnswer answer;
  for (std::size_t i = 0; i < job.ways.size(); ++i) {
    AnalysedScan& scan = job.ways[i][joint.way[i]];
    const bool now = i < job.inputs.size();
    if (now) {
      answer.placements.push_back(scan.placement);
      answer.ways_up.push_back(scan.same);
    }
    (now ? scans.now : scans.before).push_back(last ? std::move(scan) : scan);
  }
  ReadWay reading = read_lying(layout, std::move(scans), job.inputs, options);
  answer.result = std::move(reading.result);
  return {std::move(answer), reading.misfit};
}

// The answers for the likeliest way round of all scans together, and for others that are worth one.
std::vector<locate_detail::WeighedAnswer> read_each_way(const Layout& layout, Job& job,
                                                        const LocateOptions& options) {
  const auto joint = locate_detail::joint_ways(job.ways);
  std::vector<locate_detail::WeighedAnswer> answers;
  std::vector<double> probabilities;
  std::vector<locate_detail::Misfit> misfits;
  for (std::size_t k = 0; k < joint.size(); ++k) {
    if (k > 0 &&
        !locate_detail::worth_reading(joint[k].probability, joint.front().probability, misfits.front()))
      continue;
    auto [answer, misfit] = read_as(layout, job, joint[k], k + 1 == joint.size(), options);
    answers.push_back(std::move(answer));
    probabilities.push_back(joint[k].probability);
    misfits.push_back(misfit);
  }
  const auto weighed = locate_detail::weigh_readings(probabilities, misfits);
  for (std::size_t k = 0; k < answers.size(); ++k) answers[k].probability = weighed[k];
  return answers;
}

}  // namespace

LocateResult locate_detail::locate_prepared(const Layout& layout, std::vector<Ways> ways,
                                            const std::vector<ScanInput>& inputs,
                                            const LocateOptions& options) {
  Job job{std::move(ways), inputs};
  auto result = locate_detail::merge_ways(read_each_way(layout, job, options));
  for (ScanReport& report : result.findings.scans) {
    if (report.registration) locate_detail::tell_ways_up(report);
  }
  locate_detail::hold_to_residue(result.findings);
  if (result.findings.layout_unproved()) locate_detail::hold_unproved(result.findings);
  locate_detail::order_targets(layout, result.findings);
  return result;
}

LocateResult locate(const Layout& layout, const Chart* chart, const std::vector<ScanInput>& scans,
                    const LocateOptions& options) {
  const TimeLimit limit(options.until);
  std::vector<locate_detail::Ways> ways;
  for (std::size_t i = 0; i < scans.size(); ++i)
    ways.push_back(locate_detail::prepare_ways(layout, chart, scans[i], i, options));
  for (std::size_t i = 0; options.before != nullptr && i < options.before->size(); ++i)
    ways.push_back(locate_detail::prepare_ways(layout, chart, (*options.before)[i], i, options));
  return locate_detail::locate_prepared(layout, std::move(ways), scans, options);
}

}  // namespace scrapetrace
