// Searches on pages of known causes.

#include <gtest/gtest.h>

#include <map>
#include <ostream>
#include <utility>

#include "base/parallel.h"
#include "causes/box_starts.h"
#include "causes/found_causes.h"
#include "causes/pages.h"

namespace scrapetrace::diagnose {
namespace {

using testing::bench_chart;
using testing::bench_machine;
using testing::every_strip;
using testing::noisy_scan;
using testing::prepared_scan;
using testing::quiet_print;
using testing::quiet_scan;
using testing::region_of;

// Two carriages that travel opposite ways.
Layout opposite_machine() {
  Layout layout = bench_machine();
  layout.carriages[1].travel = -1;
  layout.heads[1].first_jet_px = 975;
  return layout;
}

// A page with everything a search needs; the scene and evaluator live as long as it does.
struct Page {
  Layout layout;
  geometry::Machine machine;
  Interval region_mm;
  Scene scene;
  Evaluator evaluator;

  Page(const Layout& of, const Causes& causes, Interval region, const PrintOptions& print,
       const ScanOptions& scan)
      : layout(of),
        machine(layout),
        region_mm(region),
        scene(scene_of(causes, print, scan)),
        evaluator(scene) {
    evaluator.set_state(untouched(layout, scene));
  }
  Page(const Page&) = delete;  // the evaluator refers to the scene
  Page& operator=(const Page&) = delete;
  [[nodiscard]] SearchContext context() { return {machine, evaluator, region_mm, {}}; }

 private:
  [[nodiscard]] Scene scene_of(const Causes& causes, const PrintOptions& print,
                               const ScanOptions& scan) const {
    const auto prepared = prepared_scan(layout, bench_chart(), causes, print, scan);
    const auto noise = measure_ink_noise(machine, prepared);
    return make_scene(machine, {prepared}, {noise}, region_mm, {}, {every_strip(prepared)}, {});
  }
};

Page residue_page(const Layout& layout, const Residue& residue, const PrintOptions& print,
                  const ScanOptions& scan) {
  Causes causes;
  causes.residues = {residue};
  return {layout, causes, region_of(geometry::Machine(layout), residue), print, scan};
}

Residue make_residue(std::size_t carriage, bool downstream, double x_mm, double width_mm, double loss) {
  Residue r;
  r.carriage = carriage;
  r.downstream = downstream;
  r.x_mm = x_mm;
  r.width_mm = width_mm;
  r.loss = loss;
  return r;
}

// Touches of the columns around x, for comparison of two contacts.
std::vector<int> touches_of(const Page& page, const geometry::Contact& contact) {
  const auto touches = geometry::count_touches(page.layout, page.machine.columns, contact);
  std::vector<int> out;
  for (const Cell& cell : page.scene.cells) out.push_back(touches.at(cell.column));
  return out;
}

// Fits of the same signals that started at different strengths end this close.
constexpr double kTie = 0.5;

struct Case {
  bool opposite;
  std::size_t carriage;
  bool downstream;
  double x_mm, width_mm, loss;
};
void PrintTo(const Case& c, std::ostream* out) {
  *out << (c.opposite ? "opposite travel, " : "") << "carriage " << c.carriage
       << (c.downstream ? " downstream" : " upstream") << " X " << c.x_mm << " width " << c.width_mm
       << " loss " << c.loss;
}

class NoiseFree : public ::testing::TestWithParam<Case> {};

TEST_P(NoiseFree, ResidueIsFoundWhereItIs) {
  const Case& c = GetParam();
  const Layout layout = c.opposite ? opposite_machine() : bench_machine();
  const Residue truth = make_residue(c.carriage, c.downstream, c.x_mm, c.width_mm, c.loss);
  Page page = residue_page(layout, truth, quiet_print(), quiet_scan());
  const Hypotheses<ResidueFault> search = search_residue(page.context());
  ASSERT_FALSE(search.all.empty());
  const ResidueHypothesis& best = search.best();
  // Contacts whose ends differ by columns that were not yet laid draw the same streak: one of them is the
  // truth.
  EXPECT_TRUE(std::any_of(search.all.begin(), search.all.end(),
                          [&](const ResidueHypothesis& cell) {
                            return cell.chi_square < best.chi_square + kTie &&
                                   cell.carriage == truth.carriage && cell.downstream == truth.downstream &&
                                   std::abs(cell.x_mm - truth.x_mm) < layout.px_mm() &&
                                   std::abs(cell.width_mm - truth.width_mm) < layout.px_mm();
                          }))
      << best.x_mm << " " << best.width_mm;
  EXPECT_NEAR(best.loss, truth.loss, 0.02);
  // Where two carriages or sides draw the same streak, either may be named: the touches must be the truth's.
  EXPECT_EQ(touches_of(page, {best.carriage, best.downstream, best.x_mm, best.width_mm}),
            touches_of(page, {truth.carriage, truth.downstream, truth.x_mm, truth.width_mm}));
}

// The bench machine's carriage 0 prints up to column 967 (61.4 mm), carriage 1 the rest.
INSTANTIATE_TEST_SUITE_P(
    Search, NoiseFree,
    ::testing::Values(Case{false, 0, true, 40.01, 0.70, 0.5}, Case{false, 0, false, 40.03, 0.70, 0.5},
                      Case{false, 1, true, 70.02, 1.31, 0.3}, Case{false, 1, false, 70, 0.33, 0.8},
                      Case{false, 0, true, 60.5, 1.9, 0.4}, Case{false, 1, false, 60.7, 1.2, 0.6},
                      Case{true, 0, true, 40.01, 0.70, 0.5}, Case{true, 1, true, 75.3, 2.4, 0.25},
                      Case{true, 1, false, 75.3, 0.9, 0.85}, Case{true, 0, false, 61, 1.1, 0.5}));

// Twelve passes one column short of a jet's pitch apart: with each column that an end moves, nearly all
// touches change, and a walk from a start that is off by a few never arrives.
TEST(Search, ArrivesHoweverRuggedTheInterleave) {
  Layout layout = bench_machine();
  layout.interleave = {12, {0, 11, 22, 33, 44, 55, 66, 77, 88, 99, 110, 121}};
  layout.heads = {{"1", 0, 40, 84, false}, {"2", 1, 920, 70, false}};
  for (const Case& c : {Case{false, 0, false, 38.02, 1.05, 0.04}, Case{false, 1, true, 72.41, 1.7, 0.03},
                        Case{false, 0, true, 33.3, 0.6, 0.06}, Case{false, 1, false, 76.87, 2.3, 0.025}}) {
    const Residue truth = make_residue(c.carriage, c.downstream, c.x_mm, c.width_mm, c.loss);
    Causes causes;
    causes.residues = {truth};
    Interval region = region_of(geometry::Machine(layout), truth);
    region = {region.from_mm + 1.7, region.to_mm - 1.1};  // as a detection may have it
    Page page(layout, causes, region, quiet_print(), noisy_scan(3, 400));
    const auto starts = box_starts(page.context(), c.carriage, unshifted(page.scene), 60, 1);
    ASSERT_EQ(starts.size(), 1U);
    EXPECT_NEAR(starts[0].x_mm, truth.x_mm, 2 * layout.px_mm()) << c.x_mm;
    EXPECT_NEAR(starts[0].width_mm, truth.width_mm, 3 * layout.px_mm()) << c.x_mm;
    const Hypotheses<ResidueFault> search = search_residue(page.context());
    ASSERT_FALSE(search.all.empty());
    const ResidueHypothesis& best = search.best();
    EXPECT_NEAR(best.x_mm, truth.x_mm, 2 * layout.px_mm()) << c.x_mm;
    EXPECT_NEAR(best.width_mm, truth.width_mm, 2 * layout.px_mm()) << c.x_mm;
    EXPECT_NEAR(best.loss, truth.loss, 0.1 * truth.loss) << c.x_mm;
  }
}

double probability(const Hypotheses<ResidueFault>& search, std::size_t carriage) {
  double sum = 0;
  for (const ResidueHypothesis& c : search.all) {
    if (c.carriage == carriage) sum += std::exp(c.log_weight - search.log_evidence);
  }
  return sum;
}

TEST(Search, TellsCarriagesThatTravelOppositeWays) {
  for (const std::size_t carriage : {0U, 1U}) {
    for (const bool downstream : {false, true}) {
      for (const double x : {58.0, 61.0}) {  // within reach of zones of both heads
        const Residue truth = make_residue(carriage, downstream, x, 0.8, 0.5);
        Page page = residue_page(opposite_machine(), truth, {}, noisy_scan(4));
        EXPECT_GT(probability(search_residue(page.context()), carriage), 0.99)
            << carriage << downstream << " at " << x;
      }
    }
  }
}

using Lattice = std::map<std::pair<int, int>, ResidueHypothesis>;

Lattice cells_by_place(const Page& page, const Hypotheses<ResidueFault>& search, std::size_t carriage,
                       bool downstream) {
  Lattice out;
  for (const ResidueHypothesis& c : search.all) {
    if (c.carriage != carriage || c.downstream != downstream) continue;
    out.emplace(std::pair{static_cast<int>(std::lround(c.x_mm / page.layout.px_mm())),
                          static_cast<int>(std::lround(c.width_mm / page.layout.px_mm()))},
                c);
  }
  return out;
}

// Downstream of the earlier carriage and upstream of the later one: every column is touched the same number
// of times, so the page cannot tell them apart and must not pretend to.
TEST(Search, LeavesAlikeContactsToThePrior) {
  Layout layout = bench_machine();
  layout.zones[0].prior = 3;  // left sides are likelier
  const Residue truth = make_residue(0, true, 60.7, 0.8, 0.5);
  Page page = residue_page(layout, truth, {}, noisy_scan(5));
  const auto search = search_residue(page.context());
  const auto early = cells_by_place(page, search, 0, true);
  const auto late = cells_by_place(page, search, 1, false);
  int compared = 0;
  double early_sum = 0;
  double late_sum = 0;
  double late_by_prior = 0;
  for (const auto& [place, a] : early) {
    const auto found = late.find(place);
    if (found == late.end()) continue;
    const ResidueHypothesis& b = found->second;
    const double prior_a = residue_density(page.machine, 0, a.x_mm, a.width_mm, CausePriors{}.elsewhere);
    const double prior_b = residue_density(page.machine, 1, b.x_mm, b.width_mm, CausePriors{}.elsewhere);
    const double weight_a = std::exp(a.log_weight - search.log_evidence);
    const double weight_b = std::exp(b.log_weight - search.log_evidence);
    early_sum += weight_a;
    late_sum += weight_b;
    late_by_prior += weight_a * prior_b / prior_a;
    if (weight_a < 1e-3) continue;
    // The fit of the strength may stop at slightly different places.
    EXPECT_NEAR(b.log_weight - a.log_weight, std::log(prior_b / prior_a), 0.02);
    EXPECT_GT(prior_b / prior_a, 1.5);
    ++compared;
  }
  ASSERT_GT(compared, 0);
  EXPECT_NEAR(late_sum / late_by_prior, 1, 0.02);
  EXPECT_GT(early_sum + late_sum, 0.3);
}

template <class Search>
std::vector<std::pair<double, double>> strengths_of(const Search& search) {
  std::vector<std::pair<double, double>> out;
  for (const auto& cell : search.all) out.emplace_back(cell.log_weight, cell.chi_square);
  return out;
}

TEST(SearchThreads, CausesSoughtSideBySideAreThoseSoughtInTurn) {
  const Residue truth = make_residue(1, false, 50.0, 1.2, 0.4);
  Page page = residue_page(opposite_machine(), truth, {}, noisy_scan(12));
  const Hypotheses<ResidueFault> residue = search_residue(page.context());
  const Hypotheses<JetFault> jet = search_jet(page.context());
  const Hypotheses<ScratchFault> scratch = search_scratch(page.context());
  for (const int threads : {2, 5}) {
    Page again = residue_page(opposite_machine(), truth, {}, noisy_scan(12));
    SearchContext context = again.context();
    context.threads = threads;
    Hypotheses<ResidueFault> residue_again;
    Hypotheses<JetFault> jet_again;
    Hypotheses<ScratchFault> scratch_again;
    side_by_side(
        threads, [&] { residue_again = search_residue(context); }, [&] { jet_again = search_jet(context); },
        [&] { scratch_again = search_scratch(context); });
    EXPECT_EQ(strengths_of(residue_again), strengths_of(residue)) << threads;
    EXPECT_EQ(strengths_of(jet_again), strengths_of(jet)) << threads;
    EXPECT_EQ(strengths_of(scratch_again), strengths_of(scratch)) << threads;
  }
}

TEST(Search, FindsADeadJet) {
  Causes causes;
  causes.jets = {{0, 1, 150, 1}};  // magenta, columns 790 to 802
  Page page(bench_machine(), causes, {790 * 0.0635, 803 * 0.0635}, {}, noisy_scan(6));
  const Hypotheses<JetFault> search = search_jet(page.context());
  ASSERT_FALSE(search.all.empty());
  EXPECT_EQ(search.all[0].head, 0U);
  EXPECT_EQ(search.all[0].ink, 1U);
  EXPECT_EQ(search.all[0].jet, 150);
  EXPECT_GT(search.all[0].loss, 0.95);
  EXPECT_GT(search.log_evidence, search_residue(page.context()).log_evidence + 10);
}

TEST(Search, FindsAScratch) {
  Causes causes;
  causes.scratches = {{50.03, 0.62, 0.45, {}}};
  Page page(bench_machine(), causes, {50, 50.7}, {}, noisy_scan(7));
  const Hypotheses<ScratchFault> search = search_scratch(page.context());
  ASSERT_FALSE(search.all.empty());
  EXPECT_NEAR(search.all[0].x_mm.from_mm, 50.03, 0.07);
  EXPECT_NEAR(search.all[0].x_mm.to_mm, 50.65, 0.07);
  EXPECT_NEAR(search.all[0].loss, 0.45, 0.05);
  EXPECT_GT(search.log_evidence, search_residue(page.context()).log_evidence);
}

TEST(Search, FindsHaze) {
  Causes causes;
  causes.hazes = {{50, 4, 0.08, {}}};
  Page page(bench_machine(), causes, {47, 53}, {}, noisy_scan(8));
  const Hypotheses<HazeFault> search = search_haze(page.context());
  ASSERT_FALSE(search.all.empty());
  const HazeHypothesis& best = search.all[0];
  EXPECT_NEAR(0.5 * (best.x_mm.from_mm + best.x_mm.to_mm), 50, 0.2);
  EXPECT_NEAR(best.x_mm.to_mm - best.x_mm.from_mm, 4, 0.6);
  EXPECT_NEAR(best.density, 0.08, 0.015);
}

TEST(ResidueDensity, IntegratesToOneOverAllCarriages) {
  constexpr double kStep_mm = 0.01;
  for (const Layout& layout : {bench_machine(), opposite_machine()}) {
    const geometry::Machine machine(layout);
    for (const double elsewhere : {0.0, 0.02, 0.5}) {
      for (const double width : {0.5, 6.0}) {
        // Zones reach a little beyond the drum; what sits elsewhere is spread over the drum alone.
        const double from = -20;
        const double to = layout.drum.width_mm + 20;
        double sum = 0;
        for (double x = from; x < to; x += kStep_mm) {
          for (std::size_t q = 0; q < layout.carriages.size(); ++q) {
            sum += kStep_mm * residue_density(machine, q, x, width, elsewhere);
          }
        }
        EXPECT_NEAR(sum, 1 - elsewhere + elsewhere * (to - from) / layout.drum.width_mm, 1e-3);
      }
    }
  }
}

}  // namespace
}  // namespace scrapetrace::diagnose
