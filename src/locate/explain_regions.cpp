#include "locate/explain_regions.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <optional>

#include "base/intervals.h"
#include "base/parallel.h"
#include "diagnose/region_tracks.h"
#include "diagnose/round.h"
#include "diagnose/sheet_damage.h"
#include "locate/make_streaks.h"
#include "locate/seam_steps.h"
#include "locate/survey.h"
#include "targets/rank_targets.h"

namespace scrapetrace::locate_detail {

namespace {

bool is_seam(const diagnose::Explanation& explanation) {
  return diagnose::likeliest(explanation.causes) == Cause::seam_mismatch;
}

// A step as wide as the layout has it: where the marks that place the print were laid by heads that stand
// off, the others' seams seem to lie beside their places.
bool is_layouts_own(const Layout& layout, const diagnose::Explanation& explanation) {
  if (!is_seam(explanation)) return false;
  const diagnose::SeamFault& seam = explanation.found.seam.best();
  const double known_mm = seam.by_layout.gap_mm();
  return known_mm != 0 && std::abs(seam.gap_mm - known_mm) < gap_tolerance_mm(layout);
}

using Explanations = std::vector<std::vector<diagnose::Explanation>>;

// Without what the layout has at its seams anyway.
std::vector<diagnose::Explanation> explain_one(const diagnose::PageContext& page,
                                               const std::vector<streak::Region>& regions, std::size_t index,
                                               const diagnose::DiagnoseOptions& options) {
  auto found = diagnose::diagnose_region(page, regions, index, options);
  std::erase_if(found,
                [&](const auto& explanation) { return is_layouts_own(page.machine.layout, explanation); });
  return found;
}

Explanations explain_each(const diagnose::PageContext& page, const std::vector<streak::Region>& regions,
                          const diagnose::DiagnoseOptions& options, int threads) {
  Explanations found(regions.size());
  std::vector<std::size_t> asked(regions.size());
  std::iota(asked.begin(), asked.end(), std::size_t{0});
  // The widest take longest: none of them is left for the end, when other cores have nothing to do.
  std::stable_sort(asked.begin(), asked.end(), [&](std::size_t a, std::size_t b) {
    const auto width = [&](std::size_t r) { return regions[r].x_mm.to_mm - regions[r].x_mm.from_mm; };
    return width(a) > width(b);
  });
  diagnose::DiagnoseOptions each = options;
  each.threads = static_cast<int>(
      std::max<std::size_t>(1, thread_count(threads) / std::max<std::size_t>(1, asked.size())));
  for_each_part(asked.size(), threads, [&](std::size_t k) {
    const std::size_t r = asked[k];
    found[r] = explain_one(page, regions, r, each);
  });
  return found;
}

// Where a region lies together with a stronger one close by that fits poorly: its sides are another's ragged
// edges, as often as not.
std::optional<Interval> beside_stronger_mm(const std::vector<streak::Region>& regions, std::size_t index,
                                           const Explanations& found) {
  constexpr double kReach_mm = 1.5;
  constexpr double kWeaker = 0.25;
  constexpr double kPoor = 2;  // misfit of the stronger one
  const streak::Region& own = regions[index];
  for (std::size_t r = 0; r < regions.size(); ++r) {
    const streak::Region& other = regions[r];
    const double apart_mm =
        std::max(other.x_mm.from_mm - own.x_mm.to_mm, own.x_mm.from_mm - other.x_mm.to_mm);
    if (r == index || apart_mm > kReach_mm || own.z > kWeaker * other.z) continue;
    if (found[r].empty() || found[r].front().misfit < kPoor) continue;
    return Interval{std::min(own.x_mm.from_mm, other.x_mm.from_mm),
                    std::max(own.x_mm.to_mm, other.x_mm.to_mm)};
  }
  return std::nullopt;
}

// Once more those that lie beside a stronger one.
void doubt_neighbours(const diagnose::PageContext& page, const std::vector<streak::Region>& regions,
                      diagnose::DiagnoseOptions options, int threads, Explanations& found) {
  std::vector<std::optional<Interval>> beside_mm(regions.size());
  for (std::size_t r = 0; r < regions.size(); ++r) {
    if (!found[r].empty()) beside_mm[r] = beside_stronger_mm(regions, r, found);
  }
  options.threads = static_cast<int>(thread_count(threads));
  for (std::size_t r = 0; r < regions.size(); ++r) {
    if (!beside_mm[r]) continue;
    options.beside_stronger_mm = beside_mm[r];
    found[r] = explain_one(page, regions, r, options);
  }
}

// Regions that show on a small part of their sheet only.
double damaged_places(const std::vector<profile::PreparedScan>& scans,
                      const std::vector<streak::Region>& regions, bool same_sheet) {
  return static_cast<double>(std::count_if(regions.begin(), regions.end(), [&](const streak::Region& region) {
    const auto tracks = diagnose::region_tracks(scans, region, same_sheet);
    return diagnose::is_local(diagnose::extent_of(scans, region, tracks, same_sheet));
  }));
}

bool any_seam(const Explanations& found) {
  return std::any_of(found.begin(), found.end(), [](const auto& explanations) {
    return std::any_of(explanations.begin(), explanations.end(), is_seam);
  });
}

bool any_in_place(const std::vector<profile::PreparedScan>& scans) {
  return std::any_of(scans.begin(), scans.end(), [](const auto& scan) { return scan.jets_in_place; });
}

bool overlaps(const streak::Region& region, const std::vector<Interval>& intervals) {
  return std::any_of(intervals.begin(), intervals.end(), [&](const Interval& i) {
    return region.x_mm.from_mm <= i.to_mm && region.x_mm.to_mm >= i.from_mm;
  });
}

}  // namespace

Explained explain_regions(const diagnose::PageContext& seen, const std::vector<streak::Region>& regions,
                          const diagnose::DiagnoseOptions& options, int threads, Findings& findings) {
  diagnose::PageContext page = seen;
  page.damaged_places = damaged_places(seen.scans, regions, options.scene.same_sheet);
  diagnose::DiagnoseOptions asked = options;
  Explanations found = explain_each(page, regions, asked, threads);
  // Where heads stand off, so do their jets: a dead jet's comb lies beside its place.
  if (any_seam(found) && any_in_place(page.scans)) {
    asked.scene.jets_in_place = false;
    found = explain_each(page, regions, asked, threads);
  }
  doubt_neighbours(page, regions, asked, threads, found);
  Explained out;
  for (std::size_t r = 0; r < regions.size(); ++r) {
    ExplainedRegion explained{r, std::move(found[r]), {}};
    for (const auto& explanation : explained.explanations) {
      explained.streaks.push_back(findings.streaks.size());
      findings.streaks.push_back(make_streak(page.machine.layout, page.scans, explanation));
      findings.streaks.back().targets =
          diagnose::targets_of(page.machine, explanation, options.priors.elsewhere);
    }
    out.push_back(std::move(explained));
  }
  return out;
}

void explain_old(const diagnose::PageContext& page, const diagnose::Before& before, const Explained& fresh,
                 const std::vector<streak::Region>& fresh_regions, double false_alarm_rate, int threads,
                 const diagnose::DiagnoseOptions& options, Findings& findings) {
  std::vector<Interval> taken;
  for (const auto& group : fresh) {
    if (!group.explanations.empty()) taken.push_back(fresh_regions[group.region].x_mm);
  }
  const auto regions = survey(page.machine, page.scans, false_alarm_rate, threads);
  for (std::size_t r = 0; r < regions.size(); ++r) {
    if (!overlaps(regions[r], before.known_mm) || overlaps(regions[r], taken)) continue;
    for (const auto& explanation : diagnose::diagnose_region(page, regions, r, options)) {
      findings.streaks.push_back(make_streak(page.machine.layout, page.scans, explanation));
      findings.streaks.back().was_before = true;
    }
  }
}

}  // namespace scrapetrace::locate_detail
