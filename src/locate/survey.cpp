#include "locate/survey.h"

#include <algorithm>
#include <cmath>

#include "base/intervals.h"
#include "locate/seam_steps.h"
#include "quality/placed_issues.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kPlaced_mm = 0.3;  // standard deviation: marks or jets place a sheet better, its edges worse
constexpr double kAgreed_mm = 0.1;  // the same where the heads may stand elsewhere
constexpr double kSigmas = 2.5;
// Parts of the page's false-alarm rate. What is left over once went to a search that is gone; the thresholds
// stay where they were judged. All of the rate would lower them by some 2 %.
constexpr double kOfLost = 0.5;
constexpr double kOfDenser = 0.1;

// All seams, and a little beside them.
std::vector<Interval> seams_of(const geometry::Machine& machine) {
  constexpr double kBeside_mm = 0.3;
  std::vector<Interval> out;
  for (const auto& seam : machine.columns.seams())
    out.push_back(around(geometry::seam_ends(machine.layout, seam), kBeside_mm));
  return out;
}

// What a coder has rounded is no Gaussian: 0.5 to 2 % of the ink seemed to be missing over a block or two, at
// up to 1.45 times the threshold, where nothing was wrong (JPEG of quality 88 to 90, 300 and 400 dpi).
constexpr double kCoderTail = 1.5;
// Nor is what a screen leaves whose cells nearly fit the raster: single columns of one ink, at up to twice
// the threshold.
constexpr double kScreenTail = 2;

// Whether tints' screens are all that tells of the inks.
bool screened(const profile::PreparedScan& scan) {
  const auto& views = scan.views.inked;
  return !shows_solids(scan) &&
         std::any_of(views.begin(), views.end(), [](const auto& view) { return view.evened; });
}

double tail_of(const profile::PreparedScan& scan) {
  return std::max(screened(scan) ? kScreenTail : 1, scan.smear_mm > 0 ? kCoderTail : 1);
}

// How far from its place a step may show: blur, a lossy coder's blocks, sharpening's halos, and where marks
// do not say where the print lies, what it may lie off by.
double step_reach_mm(const profile::PreparedScan& scan) {
  const double edge_px = std::max(3 * scan.blur_px, scan.light_adds_up ? 0.0 : quality::kHaloReach_px);
  return std::max(edge_px * scan.strips.grid.pitch_mm, scan.smear_mm) + place_play_mm(scan);
}

// A loss profile on another grid, by straight lines.
std::vector<float> resampled(const std::vector<float>& loss, const profile::Grid& from,
                             const profile::Grid& to) {
  std::vector<float> out(static_cast<std::size_t>(to.size), 0.0F);
  for (int i = 0; i < to.size; ++i) {
    const double at = from.index(to.at(i));
    const auto k = static_cast<int>(std::floor(at));
    if (k < 0 || k + 1 >= from.size) continue;
    const auto t = static_cast<float>(at - k);
    const auto left = static_cast<std::size_t>(k);
    out[static_cast<std::size_t>(i)] = (1 - t) * loss[left] + t * loss[left + 1];
  }
  return out;
}

// All scans' strips on the first one's grid.
struct Merged {
  profile::Strips strips;
  profile::InkViews views;
};

void add_views(const std::vector<profile::InkView>& views, const profile::Grid& from, const profile::Grid& to,
               std::size_t first_strip, std::vector<profile::InkView>& out) {
  for (const profile::InkView& view : views) {
    profile::InkView moved;
    moved.strip = first_strip + view.strip;
    moved.ink = view.ink;
    moved.single_ink = view.single_ink;
    moved.loss = resampled(view.loss, from, to);
    out.push_back(std::move(moved));
  }
}

Merged merge(const std::vector<profile::PreparedScan>& scans) {
  Merged out;
  out.strips.grid = scans.front().strips.grid;
  for (const auto& scan : scans) {
    const std::size_t first = out.strips.strips.size();
    const auto& grid = scan.strips.grid;
    for (const profile::Strip& strip : scan.strips.strips) {
      profile::Strip moved;
      moved.patch = strip.patch;
      moved.rows = strip.rows;
      const double from = out.strips.grid.index(grid.at(strip.from));
      const double to = out.strips.grid.index(grid.at(strip.to - 1));
      moved.from = std::clamp(static_cast<int>(std::ceil(from)), 0, out.strips.grid.size);
      moved.to = std::clamp(static_cast<int>(std::floor(to)) + 1, moved.from, out.strips.grid.size);
      out.strips.strips.push_back(std::move(moved));
    }
    add_views(scan.views.inked, grid, out.strips.grid, first, out.views.inked);
    add_views(scan.views.paper, grid, out.strips.grid, first, out.views.paper);
  }
  return out;
}

// What one cause draws in pieces: the teeth of a jet's comb, and the bands of a contact narrower than a step,
// stand as far apart as the carriage's displacements do. Taken for streaks each, they would be explained
// without one another.
double pieces_apart_mm(const Layout& layout) {
  constexpr double kBlurred_mm = 0.2;  // a piece may look narrower than it is
  std::vector<int> shift_px = layout.interleave.shift_px;
  std::sort(shift_px.begin(), shift_px.end());
  int widest_px = 0;
  for (std::size_t k = 1; k < shift_px.size(); ++k)
    widest_px = std::max(widest_px, shift_px[k] - shift_px[k - 1]);
  return widest_px * layout.px_mm() + kBlurred_mm;
}

// Streaks that stand out of the print as it is.
std::vector<streak::Region> plain_regions(const geometry::Machine& machine,
                                          const std::vector<profile::PreparedScan>& scans,
                                          double false_alarm_rate, int threads) {
  streak::RegionOptions options;
  options.threads = threads;
  options.merge_gap_mm = std::max(options.merge_gap_mm, pieces_apart_mm(machine.layout));
  options.false_alarm_rate =
      scans.size() > 1 ? false_alarm_rate / (2 * static_cast<double>(scans.size())) : false_alarm_rate;
  std::vector<streak::Region> all;
  double reach_mm = 0;
  double tail = 1;
  for (const auto& scan : scans) {
    reach_mm = std::max(reach_mm, step_reach_mm(scan));
    options.tail = tail_of(scan);
    tail = std::max(tail, options.tail);
    const auto found = streak::find_regions(scan.strips, scan.views,
                                            explained_steps(machine, {&scan}, step_reach_mm(scan)), options);
    all.insert(all.end(), found.begin(), found.end());
  }
  if (scans.size() > 1) {
    options.false_alarm_rate = false_alarm_rate / 2;
    options.tail = tail;
    const Merged merged = merge(scans);
    std::vector<const profile::PreparedScan*> each;
    for (const auto& scan : scans) each.push_back(&scan);
    const auto found =
        streak::find_regions(merged.strips, merged.views, explained_steps(machine, each, reach_mm), options);
    all.insert(all.end(), found.begin(), found.end());
  }
  return streak::merge_regions(std::move(all), options.merge_gap_mm);
}

// Doubled ink at the seams, where nothing else was found. A layout that knows of the overlap has it in its
// offsets: then it is no finding.
void add_denser(const geometry::Machine& machine, const std::vector<profile::PreparedScan>& scans,
                double false_alarm_rate, std::vector<streak::Region>& regions) {
  streak::RegionOptions options;
  options.false_alarm_rate = false_alarm_rate / static_cast<double>(std::max<std::size_t>(1, scans.size()));
  std::vector<streak::Region> found;
  for (const auto& scan : scans) {
    const auto known = explained_steps(machine, {&scan}, step_reach_mm(scan));
    for (auto& region : streak::find_denser(scan.strips, scan.views, seams_of(machine), options)) {
      const auto meets = [&](const Interval& x) { return meet(region.x_mm, x); };
      const bool taken = std::any_of(known.begin(), known.end(), meets) ||
                         std::any_of(regions.begin(), regions.end(),
                                     [&](const streak::Region& other) { return meets(other.x_mm); });
      if (!taken) found.push_back(region);
    }
  }
  for (auto& region : streak::merge_regions(std::move(found), options.merge_gap_mm))
    regions.push_back(region);
}

}  // namespace

bool shows_solids(const profile::PreparedScan& scan) {
  const auto& views = scan.views.inked;
  return std::any_of(views.begin(), views.end(), [](const auto& view) { return view.coverage == 1; });
}

double place_play_mm(const profile::PreparedScan& scan) {
  const double placed_mm = scan.jets_in_place ? kPlaced_mm : kAgreed_mm;
  return scan.x_sigma_mm > placed_mm ? kSigmas * scan.x_sigma_mm : 0;
}

double hidden_beside_seams_mm(const profile::PreparedScan& scan) {
  return place_play_mm(scan) > 0 || !scan.light_adds_up || !shows_solids(scan) ? step_reach_mm(scan) : 0;
}

std::vector<Interval> hidden_seams(const geometry::Machine& machine, const profile::PreparedScan& scan) {
  const double reach_mm = hidden_beside_seams_mm(scan);
  return reach_mm > 0 ? seam_steps(machine, reach_mm) : std::vector<Interval>();
}

std::vector<streak::Region> survey(const geometry::Machine& machine,
                                   const std::vector<profile::PreparedScan>& scans, double false_alarm_rate,
                                   int threads) {
  auto out = plain_regions(machine, scans, kOfLost * false_alarm_rate, threads);
  add_denser(machine, scans, kOfDenser * false_alarm_rate, out);
  return out;
}

}  // namespace scrapetrace::locate_detail
