#include <algorithm>
#include <array>
#include <cmath>

#include "base/parallel.h"
#include "causes/best_first.h"
#include "causes/box_starts.h"
#include "causes/residue_lattice.h"
#include "geometry/travel.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kDepth = 9.0;             // log units below the best cell that still count
constexpr std::size_t kMostCells = 300;    // per carriage and side, shared out over the shifts,
constexpr std::size_t kCellsMore = 20;     // and for each shift; where the print ends its end of the contact
constexpr std::size_t kCellsOfCut = 1500;  // is free
constexpr std::size_t kMostStarts = 3;
constexpr std::size_t kMostBoxStarts = 6;
constexpr std::size_t kSweptAtOnce = 48;  // cells of a sweep that a thread takes
constexpr std::size_t kMostShifts = 6;
constexpr double kShiftDepth = 5.0;
constexpr double kSharpRegistration = 0.6;  // columns: below this one trial shift stands for all

// Whether the streak may go on where the chart has no ink.
bool is_cut(const SearchContext& context) {
  constexpr double kBeside_mm = 3;
  const Interval seen = context.scene().shown_mm();
  return context.region_mm.from_mm < seen.from_mm + kBeside_mm ||
         context.region_mm.to_mm > seen.to_mm - kBeside_mm;
}

// Cells worth starting from: a sparse sweep over places and widths that could leave the region's streak.
std::vector<LatticePoint> sweep(const SearchContext& context, std::size_t carriage, bool downstream,
                                std::size_t shift) {
  const double px = context.machine.layout.px_mm();
  const geometry::Travel travel = geometry::travel_of(context.machine.layout, carriage);
  const int from = static_cast<int>(std::floor(context.region_mm.from_mm / px));
  const int to = static_cast<int>(std::ceil(context.region_mm.to_mm / px));
  const ResidueLattice lattice(context, carriage, downstream);
  std::vector<std::pair<double, LatticePoint>> found;  // by score, which comes later
  // Of a contact that the print's end cuts, as little may show as its last jets' columns.
  const int unseen = is_cut(context) ? travel.high_px - travel.low_px : 0;
  const int widest = std::max(2, to - from + 6) + unseen;
  for (int width = 1; width <= widest; width += std::max(1, width / 3)) {
    const int step = std::clamp(width / 3, 2, 6);
    for (int left = from - travel.high_px - 4; left + width <= to - travel.low_px + 5; left += step) {
      found.emplace_back(0, LatticePoint{left * lattice.per_step(), width * lattice.per_step()});
    }
  }
  for (const BoxStart& start : box_starts(context, carriage, shift, widest, kMostBoxStarts))
    found.emplace_back(0, lattice.cell_at(start.x_mm, start.width_mm));
  for_each_stretch(found.size(), kSweptAtOnce, context.threads, [&](std::size_t begin, std::size_t end) {
    ResidueLattice own = lattice;
    for (std::size_t k = begin; k < end; ++k) found[k].first = own(found[k].second, shift).score;
  });
  std::stable_sort(found.begin(), found.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<LatticePoint> kept;
  for (const auto& scored : found) {
    if (kept.size() == kMostStarts) break;
    const LatticePoint cell = scored.second;
    const bool near = std::any_of(kept.begin(), kept.end(), [&](LatticePoint k) {
      return std::abs(k.first - cell.first) + std::abs(k.second - cell.second) < 10 * lattice.per_step();
    });
    if (!near) kept.push_back(cell);
  }
  return kept;
}

// Places that a trial shift moves the contact by, whole columns at a time.
int places(const SearchContext& context, const ResidueLattice& lattice, std::size_t shift) {
  const double columns = context.scene().shift_mm[shift] / context.machine.layout.px_mm();
  return lattice.per_step() * static_cast<int>(std::lround(columns));
}

LatticePoint shifted(const SearchContext& context, const ResidueLattice& lattice, LatticePoint cell,
                     std::size_t shift) {
  return {cell.first + places(context, lattice, shift), cell.second};
}

LatticePoint unshifted_cell(const SearchContext& context, const ResidueLattice& lattice, LatticePoint cell,
                            std::size_t shift) {
  return {cell.first - places(context, lattice, shift), cell.second};
}

// Trial shifts of the registration that the data allow, the contact moved along with the print: the best one
// alone where registration is sharp.
std::vector<std::size_t> worthwhile_shifts(const SearchContext& context, ResidueLattice& lattice,
                                           LatticePoint cell, double loss) {
  const Scene& scene = context.scene();
  std::vector<double> score;
  for (std::size_t s = 0; s < scene.shift_mm.size(); ++s) {
    const auto moved = lattice.contact(shifted(context, lattice, cell, s));
    const ResidueTrial trial(scene,
                             geometry::count_touches(context.machine.layout, context.machine.columns, moved));
    score.push_back(scene.shift_log_prior[s] - 0.5 * trial_chi_square(context, trial, loss, s));
  }
  const auto best = static_cast<std::size_t>(std::max_element(score.begin(), score.end()) - score.begin());
  if (scene.shift_mm.back() < 2.5 * kSharpRegistration * scene.px_mm) return {best};
  std::vector<std::size_t> kept;
  for (std::size_t s = 0; s < score.size(); ++s) {
    if (score[s] > score[best] - kShiftDepth && kept.size() < kMostShifts) kept.push_back(s);
  }
  return kept;
}

// Registration shifts to explore at: none where it is sharp to a column; else half a column apart over one
// period of the interleave, because only the phase decides which columns survive.
std::vector<std::size_t> phases(const SearchContext& context) {
  const Scene& scene = context.scene();
  if (scene.shift_mm.back() < 2.5 * kSharpRegistration * scene.px_mm) return {unshifted(scene)};
  const double half_period = 0.5 * context.machine.layout.interleave.jet_pitch_px * scene.px_mm;
  std::vector<std::size_t> out;
  for (std::size_t s = 0; s < scene.shift_mm.size(); ++s) {
    if (std::abs(scene.shift_mm[s]) <= half_period) out.push_back(s);
  }
  return out;
}

struct Found {
  LatticePoint cell;  // with the registration as it stands
  ResidueValue value;
};

// Best-first walks from the starts, across barriers: with strong streaks the likelihood is rugged, because
// every column of the interleave counts. The best point met, at any phase.
Found explore(const SearchContext& context, ResidueLattice& lattice, const std::vector<LatticePoint>& starts,
              std::size_t limit) {
  constexpr double kAnyDepth = 1e12;
  const auto at_phases = phases(context);
  const std::size_t each = (at_phases.size() > 1 ? limit / 3 : limit) * lattice.cells_per_step();
  const Found nothing{starts.front(), {}};
  std::vector<Found> found(at_phases.size() * starts.size(), nothing);
  std::vector<ResidueLattice> walked(found.size(), lattice);
  for_each_part(found.size(), context.threads, [&](std::size_t k) {
    const std::size_t phase = at_phases[k / starts.size()];
    ResidueLattice& own = walked[k];
    const auto seen =
        walk_best_first<ResidueValue>(shifted(context, own, starts[k % starts.size()], phase), kAnyDepth,
                                      each, [&](LatticePoint c) { return own(c, phase); });
    for (const auto& [cell, value] : seen) {
      if (value.score > found[k].value.score) found[k] = {unshifted_cell(context, own, cell, phase), value};
    }
  });
  Found best = nothing;
  for (std::size_t k = 0; k < found.size(); ++k) {
    lattice.learn_from(walked[k]);
    if (found[k].value.score > best.value.score) best = found[k];
  }
  return best;
}

// One carriage and side, and the best cell that it has met.
struct Walk {
  std::size_t carriage = 0;
  bool downstream = false;
  ResidueLattice lattice;
  Found best;
};

// Where one hypothesis fits, another that travels alike may fit as well: from there, too, if it is better
// than what the hypothesis found by itself. Else the one that is walked last would win of two that are alike.
void try_each_other(const SearchContext& context, std::vector<Walk>& walks) {
  constexpr std::size_t kLaterWalk = 40;
  std::vector<LatticePoint> cells;
  for (const Walk& h : walks) cells.push_back(h.best.cell);
  for (Walk& h : walks) {
    const std::size_t shift =
        h.best.value.score > -1e299 ? h.best.value.fit.shift : unshifted(context.scene());
    for (const LatticePoint& cell : cells) {
      const ResidueValue there = h.lattice(shifted(context, h.lattice, cell, shift), shift);
      if (cell == h.best.cell || there.score <= h.best.value.score) continue;
      h.best = {cell, there};
      const Found further = explore(context, h.lattice, {cell}, kLaterWalk);
      if (further.value.score > h.best.value.score) h.best = further;
    }
  }
}

// All cells of a hypothesis that count.
void collect(const SearchContext& context, const std::vector<std::size_t>& shifts, Walk& h,
             std::vector<ResidueHypothesis>& out) {
  double prior_total = 0;
  for (double p : context.scene().shift_log_prior) prior_total += std::exp(p);
  for (std::size_t shift : shifts) {
    const double log_shift = shifts.size() == 1
                                 ? context.scene().shift_log_prior[shift]
                                 : context.scene().shift_log_prior[shift] - std::log(prior_total);
    const auto cells = walk_best_first<ResidueValue>(
        shifted(context, h.lattice, h.best.cell, shift), kDepth,
        (kMostCells / shifts.size() + (is_cut(context) ? kCellsOfCut : kCellsMore)) *
            h.lattice.cells_per_step(),
        [&](LatticePoint c) { return h.lattice(c, shift); });
    for (const auto& [cell, value] : cells) {
      if (value.score <= -1e299) continue;
      const auto c = h.lattice.contact(cell);
      out.push_back({{h.carriage, h.downstream, c.x_mm, c.width_mm, value.fit.strength, value.fit.sigma()},
                     value.score + log_shift,
                     shift,
                     value.fit.chi_square});
    }
  }
}

void collect_all(const SearchContext& context, std::vector<Walk>& walks, Hypotheses<ResidueFault>& out) {
  std::vector<std::vector<std::size_t>> shifts;
  for (Walk& h : walks) {
    shifts.push_back(worthwhile_shifts(context, h.lattice, h.best.cell, h.best.value.fit.strength));
    for (const std::size_t shift : shifts.back()) context.evaluator.prepare(shift);
  }
  std::vector<std::vector<ResidueHypothesis>> found(walks.size());
  for_each_part(walks.size(), context.threads,
                [&](std::size_t k) { collect(context, shifts[k], walks[k], found[k]); });
  for (const auto& cells : found) out.all.insert(out.all.end(), cells.begin(), cells.end());
}

// The walks of all carriages that travel one way.
void search_travel(const SearchContext& context, int travel, Hypotheses<ResidueFault>& out) {
  constexpr std::size_t kFirstWalk = 90;
  constexpr std::size_t kLaterWalk = 40;
  std::vector<Walk> walks;
  for (std::size_t q = 0; q < context.machine.layout.carriages.size(); ++q) {
    if (context.machine.layout.carriages[q].travel != travel) continue;
    for (const bool downstream : {false, true})
      walks.push_back({q, downstream, ResidueLattice(context, q, downstream), {}});
  }
  if (walks.empty()) return;
  auto starts = sweep(context, walks.front().carriage, true, unshifted(context.scene()));
  if (starts.empty()) return;
  // The first one walks far, and the others begin where it came to.
  Walk& first = walks.front();
  first.best = explore(context, first.lattice, starts, kFirstWalk);
  if (std::find(starts.begin(), starts.end(), first.best.cell) == starts.end())
    starts.insert(starts.begin(), first.best.cell);
  if (starts.size() > kMostStarts) starts.resize(kMostStarts);
  for_each_part(walks.size() - 1, context.threads, [&](std::size_t k) {
    Walk& later = walks[k + 1];
    later.best = explore(context, later.lattice, starts, kLaterWalk);
  });
  try_each_other(context, walks);
  collect_all(context, walks, out);
}

}  // namespace

Hypotheses<ResidueFault> search_residue(const SearchContext& context) {
  Hypotheses<ResidueFault> out;
  if (context.scene().traces.empty()) return out;
  constexpr std::array kTravels{1, -1};
  std::array<Hypotheses<ResidueFault>, kTravels.size()> found;
  for_each_part(found.size(), context.threads,
                [&](std::size_t k) { search_travel(context, kTravels[k], found[k]); });
  for (const Hypotheses<ResidueFault>& way : found)
    out.all.insert(out.all.end(), way.all.begin(), way.all.end());
  const double null = -0.5 * context.evaluator.null_chi_square();
  for (ResidueHypothesis& cell : out.all) cell.log_weight -= null;
  out.add_up();
  return out;
}

}  // namespace scrapetrace::diagnose
