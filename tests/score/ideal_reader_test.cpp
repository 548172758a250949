#include "score/ideal_reader.h"

#include <gtest/gtest.h>

#include <cmath>

#include "base/srgb.h"
#include "score/bounds.h"
#include "score/ideal_lattice.h"
#include "score/machines.h"
#include "score/priors.h"
#include "score/render.h"

namespace scrapetrace::score {
namespace {

using testing::toy_machine;

// Residue on the toy's first head, right side, seen on one noisy sheet.
Case noisy_case(const ScoreMachine& machine, double loss) {
  Case out;
  out.machine = &machine;
  out.chart = machine.chart;
  out.kind = CaseKind::low_loss;
  Residue r;
  r.carriage = 0;
  r.downstream = true;
  r.x_mm = 38.57;
  r.width_mm = 0.66;
  r.loss = loss;
  r.head = "1";
  r.side = Side::right;
  r.surface = "faceplate";
  out.causes.residues = {r};
  out.truth = 1;
  Sheet sheet;
  sheet.print.grain = 0.05;
  sheet.print.mottle = 0.01;
  sheet.print.jet_variation = 0.02;
  sheet.scan.dpi = 300;
  sheet.scan.noise = 2;
  sheet.scan.skew_deg = 0.4;
  sheet.scan.threads = 1;
  out.sheets = {sheet};
  return out;
}

struct Read {
  IdealView view;
  Scrape scrape;
};

Read read(const Case& drawn, std::uint64_t seed) {
  Sheet sheet = drawn.sheets.front();
  sheet.scan.scan_seed = seed;
  sheet.print.machine_seed = seed + 1000;
  const auto rendered = render(drawn, drawn.causes, sheet);
  EXPECT_TRUE(rendered.ok());
  Case with_residue = drawn;
  if (with_residue.causes.residues.empty()) with_residue.causes = noisy_case(*drawn.machine, 0.01).causes;
  Read out;
  out.view = make_ideal_view(with_residue, sheet, ideal_window(with_residue), &rendered->sensed());
  out.scrape =
      scrape_of(drawn.machine->layout, geometry::ColumnMap(drawn.machine->layout), *with_residue.residue());
  return out;
}

// The posterior by brute force: every cell of a square around the truth, every loss of a fine grid.
std::vector<double> brute_force(const IdealLikelihood& likelihood, const Residue& truth,
                                const IdealPrior& prior) {
  const Layout& layout = *likelihood.view().layout;
  const geometry::ColumnMap columns(layout);
  const White data = likelihood.whiten(likelihood.data());
  const EdgeLattice lattice(layout, columns, {truth.x_mm - 5, truth.x_mm + 5});
  constexpr int kReach = 9;
  constexpr int kLosses = 50;
  const int left = lattice.gap_of(truth.x_mm);
  const int right = lattice.gap_of(truth.x_mm + truth.width_mm);
  std::vector<double> sum(prior.zones.size(), 0.0);
  double offset = 1e300;
  for (std::size_t q = 0; q < layout.carriages.size(); ++q) {
    for (const bool downstream : {false, true}) {
      for (int a = left - kReach; a <= left + kReach; ++a) {
        for (int b = std::max(a, right - kReach); b <= right + kReach; ++b) {
          const CellPrior cell = cell_prior(layout, prior, lattice, q, a, b);
          if (cell.mass <= 0) continue;
          const double x = lattice.middle_mm(a);
          const auto touches =
              geometry::count_touches(layout, columns, {q, downstream, x, lattice.middle_mm(b) - x});
          double evidence = 0;
          for (int k = 0; k < kLosses; ++k) {
            const double loss = kLowLoss.from + (k + 0.5) * (kLowLoss.to - kLowLoss.from) / kLosses;
            const White model = likelihood.whiten(likelihood.signal({touches, loss}));
            const White rest{data.own - model.own, data.shared - model.shared};
            const double chi_square = rest.dot(rest);
            if (offset > 1e299) offset = chi_square;
            evidence += std::exp(-0.5 * (chi_square - offset)) / kLosses;
          }
          for (std::size_t z = 0; z < sum.size(); ++z) sum[z] += evidence * cell.by_target[z];
        }
      }
    }
  }
  double total = 0;
  for (const double s : sum) total += s;
  for (double& s : sum) s /= total;
  return sum;
}

TEST(IdealReader, AgreesWithBruteForce) {
  const ScoreMachine machine = toy_machine();
  Case drawn = noisy_case(machine, 0.06);
  drawn.sheets.front().print.grain = 0.25;  // a hard case: several columns and widths stay likely
  drawn.sheets.front().scan.noise = 12;
  const Read seen = read(drawn, 5);
  const IdealLikelihood likelihood(seen.view, seen.scrape);
  const IdealPrior prior{geometry::target_zones(machine.layout), drawn.kind,
                         printed_drum(machine.layout, drawn.chart)};
  const IdealAnswer answer = read_ideally(likelihood, *drawn.residue(), prior);
  const auto expected = brute_force(likelihood, *drawn.residue(), prior);
  for (std::size_t z = 0; z < expected.size(); ++z) EXPECT_NEAR(answer.targets[z], expected[z], 0.01) << z;
}

// Over ink that carriage "high" laid, its contact downstream of its jets does what one of carriage "low" does
// on either side of its own. So high has one way to draw the streak and low has two, each half as likely as
// high's place by the zones' priors of 2 to 1: the two targets come out level.
TEST(IdealReader, ExactTiesKeepTheirPriors) {
  const ScoreMachine machine = toy_machine();
  const Case drawn = noisy_case(machine, 0.1);
  const Read seen = read(drawn, 6);
  const IdealLikelihood likelihood(seen.view, seen.scrape);
  const auto zones = geometry::target_zones(machine.layout);
  const IdealAnswer answer = read_ideally(likelihood, *drawn.residue(),
                                          {zones, drawn.kind, printed_drum(machine.layout, drawn.chart)});
  ASSERT_EQ(zones[2].head, 1U);  // the second head's left side, the right side's rival
  EXPECT_NEAR(zones[1].prior_density, 2 * zones[2].prior_density, 1e-12);
  EXPECT_NEAR(answer.targets[1], 0.5, 0.01);
  EXPECT_NEAR(answer.targets[2], 0.5, 0.01);
}

// Rendered pages without a streak, filtered for one: the filter's output must have the standard deviation
// that the noise model gives it, and a streak must lift it by d'.
TEST(IdealReader, MatchedFiltersOutputIsAsTheNoiseModelSays) {
  const ScoreMachine machine = toy_machine();
  const Case drawn = noisy_case(machine, 0.01);
  Case clean = drawn;
  clean.causes.residues.clear();
  constexpr int kPages = 60;
  double sum = 0;
  double squares = 0;
  double lifted = 0;
  double d_prime = 0;
  for (std::uint64_t seed = 0; seed < kPages; ++seed) {
    const auto output = [&](const Case& page) {
      const Read seen = read(page, seed);
      const IdealLikelihood unscraped(seen.view, {});
      d_prime = matched_d_prime(unscraped, seen.scrape);
      auto change = unscraped.signal(seen.scrape);
      auto rest = unscraped.data();
      const auto none = unscraped.signal({});
      for (std::size_t p = 0; p < change.size(); ++p) change[p] -= none[p], rest[p] -= none[p];
      return unscraped.whiten(change).dot(unscraped.whiten(rest)) / d_prime;
    };
    const double quiet = output(clean);
    sum += quiet;
    squares += quiet * quiet;
    if (seed < kPages / 4) lifted += output(drawn) - quiet;
  }
  const double mean = sum / kPages;
  const double sigma = std::sqrt(squares / kPages - mean * mean);
  EXPECT_NEAR(mean, 0, 4 / std::sqrt(kPages));
  EXPECT_NEAR(sigma, 1, 0.35);  // 4 standard errors of a standard deviation of 60 pages
  EXPECT_NEAR(lifted / (kPages / 4), d_prime, 0.05 * d_prime);
}

// One pass, fine columns, one ink in one channel and scanner noise only: a blurred rectangular dip, for which
// var(centre) = k b sqrt(pi) / (1 - exp(-w^2 / 4 b^2)), k = s^2 D / A^2 (from the Fisher information of two
// Gaussian edges; unknown depth and width do not change it, by symmetry).
TEST(Bounds, PositionOfABlurredDip) {
  ScoreMachine machine = toy_machine();
  Layout& layout = machine.layout;
  layout.raster.cross_process_dpi = 3000;
  layout.interleave = {1, {0}};
  layout.inks = {{"cyan", {0.8, 0, 0}}};
  layout.carriages = {{"high", 35, 0, 1}};
  layout.heads = {{"1", 0, 300, 8600, false}};
  machine.chart.patches = {{{"cyan"}, {4, 56}, {6, 50}, 1}};
  Case drawn = noisy_case(machine, 0.05);
  Sheet& sheet = drawn.sheets.front();
  sheet.print.grain = sheet.print.mottle = sheet.print.jet_variation = 0;
  sheet.scan.blur_px = 1.5;
  sheet.scan.skew_deg = 0;
  drawn.causes.residues[0].width_mm = 10 * 25.4 / 300;
  const IdealView view = make_ideal_view(drawn, sheet, ideal_window(drawn), nullptr);
  const geometry::ColumnMap columns(layout);
  const IdealLikelihood likelihood(view, scrape_of(layout, columns, *drawn.residue()));
  const double bound_mm = position_bound_mm(likelihood, *drawn.residue());

  const double whole = sheet.print.paper_white * std::pow(10.0, -0.8);
  const double depth = sheet.print.paper_white * std::pow(10.0, -0.8 * 0.95) - whole;
  const double code = srgb_from_linear(whole);
  const double slope = (linear_from_srgb(code + 0.5 / 255) - linear_from_srgb(code - 0.5 / 255));
  const double noise = slope * std::sqrt((4 + 1.0 / 12) / view.patches[0].samples[0].rows);
  const double k = noise * noise / (depth * depth);
  const double b = std::hypot(1.5, std::sqrt(1.0 / 12));
  const double centre_px = std::sqrt(k * b * std::sqrt(M_PI) / (1 - std::exp(-100 / (4 * b * b))));
  const double raster_mm = layout.px_mm() / std::sqrt(24.0);
  EXPECT_NEAR(bound_mm, std::hypot(centre_px * 25.4 / 300, raster_mm), 0.05 * bound_mm);
}

}  // namespace
}  // namespace scrapetrace::score
