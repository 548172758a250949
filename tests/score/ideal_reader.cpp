#include "score/ideal_reader.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <queue>
#include <set>

#include "score/ideal_lattice.h"
#include "score/loss_integral.h"

namespace scrapetrace::score {

namespace {

constexpr double kDepth = 12;  // log units below the best cell that still count
constexpr std::size_t kMostStarts = 4;
constexpr std::size_t kMostCells = 2500;  // per hypothesis

using CellIndex = std::pair<int, int>;  // left gap, right gap

struct Cell {
  double log_weight = -1e300;
  double loss = 0;
  CellPrior prior;
};

// One carriage and side of the jets.
class Hypothesis {
 public:
  Hypothesis(const IdealLikelihood& likelihood, const White& data, const geometry::ColumnMap& columns,
             const EdgeLattice& lattice, const IdealPrior& prior, std::size_t carriage, bool downstream)
      : likelihood_(likelihood),
        data_(data),
        columns_(columns),
        lattice_(lattice),
        prior_(prior),
        carriage_(carriage),
        downstream_(downstream) {}

  // Log weight after a few steps; not kept.
  [[nodiscard]] double rough(CellIndex at, double start) const { return weigh(at, start, 3).log_weight; }

  // Best first from `start`, until all that is left lies too deep below the best here.
  void search_from(CellIndex start, double loss, double& best) {
    std::priority_queue<std::pair<double, CellIndex>> open;
    visit(start, loss, best, open);
    while (!open.empty() && cells_.size() < kMostCells) {
      const auto [weight, at] = open.top();
      open.pop();
      if (weight < best_here_ - kDepth) break;
      for (int i = -1; i <= 1; ++i) {
        for (int j = -1; j <= 1; ++j) visit({at.first + i, at.second + j}, cells_.at(at).loss, best, open);
      }
    }
  }

  [[nodiscard]] const std::map<CellIndex, Cell>& cells() const { return cells_; }
  [[nodiscard]] std::size_t carriage() const { return carriage_; }
  [[nodiscard]] bool downstream() const { return downstream_; }

 private:
  [[nodiscard]] Cell weigh(CellIndex at, double start, int steps) const {
    Cell cell;
    if (at.first < 0 || at.second < at.first || at.second >= lattice_.size()) return cell;
    cell.prior = cell_prior(*likelihood_.view().layout, prior_, lattice_, carriage_, at.first, at.second);
    if (cell.prior.mass <= 0) return cell;
    const double left = lattice_.middle_mm(at.first);
    const auto touches =
        geometry::count_touches(*likelihood_.view().layout, columns_,
                                {carriage_, downstream_, left, lattice_.middle_mm(at.second) - left});
    const LossIntegral integral = integrate_loss(likelihood_, data_, touches, start, steps);
    cell.loss = integral.loss;
    cell.log_weight = integral.log_value + std::log(cell.prior.mass);
    return cell;
  }

  void visit(CellIndex at, double start, double& best,
             std::priority_queue<std::pair<double, CellIndex>>& open) {
    if (cells_.contains(at)) return;
    const Cell& cell = cells_[at] = weigh(at, start, 8);
    best_here_ = std::max(best_here_, cell.log_weight);
    best = std::max(best, cell.log_weight);
    if (cell.log_weight > -1e299) open.emplace(cell.log_weight, at);
  }

  const IdealLikelihood& likelihood_;
  const White& data_;
  const geometry::ColumnMap& columns_;
  const EdgeLattice& lattice_;
  const IdealPrior& prior_;
  std::size_t carriage_;
  bool downstream_;
  double best_here_ = -1e300;
  std::map<CellIndex, Cell> cells_;
};

struct Travel {
  double low_mm = 0;
  double high_mm = 0;
  int step_px = 1;  // the longest step between passes
};

Travel travel_of(const Layout& layout, std::size_t carriage) {
  Travel out{1e9, -1e9, 1};
  for (int k = 0; k < layout.passes(); ++k) {
    const double shift = layout.shift_of(carriage, k) * layout.px_mm();
    out.low_mm = std::min(out.low_mm, shift);
    out.high_mm = std::max(out.high_mm, shift);
    if (k > 0)
      out.step_px =
          std::max(out.step_px, std::abs(layout.shift_of(carriage, k) - layout.shift_of(carriage, k - 1)));
  }
  return out;
}

// Cells that touch about the same stretch of the drum as the truth, roughly weighed, best first.
std::vector<std::pair<double, CellIndex>> sweep(const Hypothesis& hypothesis, const Layout& layout,
                                                const EdgeLattice& lattice, const Residue& truth) {
  const Interval seen = touched_drum(layout, truth);
  const Travel travel = travel_of(layout, hypothesis.carriage());
  const double px = layout.px_mm();
  const double reach = (travel.step_px + 4) * px;
  std::vector<std::pair<double, CellIndex>> found;
  std::set<CellIndex> tried;
  for (double a = -reach; a <= reach; a += 2.5 * px) {
    for (double b = -reach; b <= reach; b += 2.5 * px) {
      const CellIndex at{lattice.gap_of(seen.from_mm - travel.low_mm + a),
                         lattice.gap_of(seen.to_mm - travel.high_mm + b)};
      if (!tried.insert(at).second) continue;
      found.emplace_back(hypothesis.rough(at, truth.loss), at);
    }
  }
  std::sort(found.rbegin(), found.rend());
  return found;
}

bool near(CellIndex a, CellIndex b) {
  return std::abs(a.first - b.first) + std::abs(a.second - b.second) < 8;
}

// From the truth's own contact, which another carriage's may equal, and from the best of the sweep. A cell
// that misses by one column may lie thousands of log units down: the search climbs from there.
void search(Hypothesis& hypothesis, const Layout& layout, const EdgeLattice& lattice, const Residue& truth,
            double& best) {
  std::vector<CellIndex> starts{{lattice.gap_of(truth.x_mm), lattice.gap_of(truth.x_mm + truth.width_mm)}};
  for (const auto& found : sweep(hypothesis, layout, lattice, truth)) {
    const CellIndex at = found.second;
    if (starts.size() >= kMostStarts || found.first < -1e299) break;
    if (std::none_of(starts.begin(), starts.end(), [&](CellIndex s) { return near(s, at); }))
      starts.push_back(at);
  }
  for (const CellIndex& start : starts) hypothesis.search_from(start, truth.loss, best);
}

IdealAnswer sum_up(const std::vector<Hypothesis>& hypotheses, const IdealPrior& prior, const Residue& truth,
                   double best) {
  IdealAnswer out;
  out.targets.assign(prior.zones.size(), 0.0);
  double total = 0;
  double weight_here = 0;
  double first = 0;
  double second = 0;
  for (const Hypothesis& h : hypotheses) {
    for (const auto& [at, cell] : h.cells()) {
      if (cell.log_weight < best - 2 * kDepth) continue;
      const double weight = std::exp(cell.log_weight - best);
      total += weight;
      for (std::size_t z = 0; z < out.targets.size(); ++z)
        out.targets[z] += weight * cell.prior.by_target[z] / cell.prior.mass;
      if (h.carriage() != truth.carriage || h.downstream() != truth.downstream) continue;
      const double middle = cell.prior.middle_mm - truth.x_mm;  // near 0 keeps digits
      weight_here += weight;
      first += weight * middle;
      second += weight * (middle * middle + cell.prior.middle_variance);
    }
  }
  if (!(total > 0)) return {};
  for (double& p : out.targets) p /= total;
  if (weight_here > 0) {
    const double mean = first / weight_here;
    out.middle_mm = truth.x_mm + mean;
    out.sigma_mm = std::sqrt(std::max(0.0, second / weight_here - mean * mean));
  }
  return out;
}

}  // namespace

Scrape scrape_of(const Layout& layout, const geometry::ColumnMap& columns, const Residue& residue) {
  return {geometry::count_touches(layout, columns,
                                  {residue.carriage, residue.downstream, residue.x_mm, residue.width_mm}),
          residue.loss};
}

IdealAnswer read_ideally(const IdealLikelihood& likelihood, const Residue& truth, const IdealPrior& prior) {
  const Layout& layout = *likelihood.view().layout;
  const geometry::ColumnMap columns(layout);
  const White data = likelihood.whiten(likelihood.data());
  const Interval seen = touched_drum(layout, truth);
  constexpr double kBeyond_mm = 6;  // the widest contact and some steps
  const EdgeLattice lattice(layout, columns, {seen.from_mm - kBeyond_mm, seen.to_mm + kBeyond_mm});
  std::vector<Hypothesis> hypotheses;
  for (std::size_t q = 0; q < layout.carriages.size(); ++q) {
    for (const bool downstream : {false, true})
      hypotheses.emplace_back(likelihood, data, columns, lattice, prior, q, downstream);
  }
  double best = -1e300;
  for (Hypothesis& h : hypotheses) search(h, layout, lattice, truth, best);
  return sum_up(hypotheses, prior, truth, best);
}

}  // namespace scrapetrace::score
