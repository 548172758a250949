#include "geometry/zones.h"
#include "score/bounds.h"
#include "score/ideal_reader.h"
#include "score/judge.h"
#include "score/render.h"
#include "scrapetrace/locate.h"
#include "scrapetrace/score.h"

namespace scrapetrace {

namespace {

using namespace score;

bool all_analysed(const Findings& findings) {
  for (const ScanReport& scan : findings.scans) {
    if (!scan.analysed()) return false;
  }
  return true;
}

// Both come from the first sheet.
void read_as_ideal(const Case& drawn, const PageRaster& sensed, bool ideal, CaseRecord& record) {
  const Layout& layout = drawn.machine->layout;
  const Residue& truth = *drawn.residue();
  const geometry::ColumnMap columns(layout);
  const IdealView view = make_ideal_view(drawn, drawn.sheets.front(), ideal_window(drawn), &sensed);
  if (view.patches.empty()) return;
  const Scrape scrape = scrape_of(layout, columns, truth);
  record.d_prime = matched_d_prime(IdealLikelihood(view, {}), scrape);
  const IdealView settled = with_settled_jets(view, scrape);
  const IdealLikelihood likelihood(settled, scrape);
  const double bound_mm = position_bound_mm(likelihood, truth);
  if (record.position) record.position->bound_mm = bound_mm;
  if (!ideal || drawn.kind == CaseKind::faint) return;
  const IdealPrior prior{geometry::target_zones(layout), drawn.kind, printed_drum(layout, drawn.chart)};
  const IdealAnswer answer = read_ideally(likelihood, truth, prior);
  record.ideal = answer.targets;
  record.ideal_position =
      PositionRecord{answer.middle_mm - (truth.x_mm + 0.5 * truth.width_mm), answer.sigma_mm, bound_mm, 0};
}

}  // namespace

CaseRecord score_case(const std::vector<ScoreMachine>& machines, const ScoreOptions& options, int index) {
  const Case drawn = draw_case(machines, options, index);
  const Layout& layout = drawn.machine->layout;
  CaseRecord record;
  record.index = index;
  record.kind = drawn.kind;
  record.machine = drawn.machine->name;
  record.dpi = drawn.sheets.front().scan.dpi;
  record.what = describe(drawn);
  record.truth = drawn.truth;
  std::vector<ScanInput> scans;
  std::optional<RenderedSheet> first;
  for (const Sheet& sheet : drawn.sheets) {
    auto rendered = render(drawn, sheet);
    if (!rendered) {
      record.what += "; not rendered: " + to_string(rendered.problems().front());
      return record;
    }
    RenderedSheet made = std::move(rendered).value();
    if (!first) first = made;
    scans.push_back({"sheet " + std::to_string(scans.size() + 1), std::move(made.as_scanned)});
  }
  LocateOptions one_thread;  // the cases run side by side
  one_thread.threads = 1;
  const Findings findings = locate(layout, &drawn.chart, scans, one_thread).findings;
  record.analysed = all_analysed(findings);
  record.located = beliefs_of(layout, findings);
  judge_streaks(drawn, findings, record);
  if (scans.size() > 1) {
    scans.resize(1, scans.front());
    record.first_sheet = beliefs_of(layout, locate(layout, &drawn.chart, scans, one_thread).findings);
  }
  if (const Residue* residue = drawn.residue()) {
    record.width_mm = residue->width_mm;
    record.loss = residue->loss;
    read_as_ideal(drawn, first->sensed(), options.ideal, record);
  }
  return record;
}

}  // namespace scrapetrace
