#include "geometry/zones.h"
#include "score/bounds.h"
#include "score/case_record.h"
#include "score/ideal_reader.h"
#include "score/judge.h"
#include "score/more_evidence.h"
#include "score/render.h"
#include "score/true_contrast.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::score {

namespace {

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
  if (!ideal || drawn.kind == CaseKind::faint || drawn.kind == CaseKind::evidence) return;
  const IdealPrior prior{geometry::target_zones(layout), drawn.kind, printed_drum(layout, drawn.chart)};
  const IdealAnswer answer = read_ideally(likelihood, truth, prior);
  if (answer.targets.empty()) return;
  record.ideal = answer.targets;
  record.ideal_position =
      PositionRecord{answer.middle_mm - (truth.x_mm + 0.5 * truth.width_mm), answer.sigma_mm, bound_mm, 0};
}

void read_one_sheet(const Case& drawn, const ScanInput& scan, CaseRecord& record) {
  LocateOptions one_thread;  // the cases run side by side
  one_thread.threads = 1;
  const Findings findings = locate(drawn.machine->layout, &drawn.chart, {scan}, one_thread).findings;
  record.analysed = findings.scans.front().analysed();
  record.located = beliefs_of(drawn.machine->layout, findings.targets);
  record.traced = beliefs_of(drawn.machine->layout, findings.traces);
  judge_streaks(drawn, findings, record);
}

}  // namespace

CaseRecord score_case(const std::vector<ScoreMachine>& machines, const ScoreOptions& options, int index) {
  const Case drawn = draw_case(machines, options, index);
  CaseRecord record;
  record.index = index;
  record.kind = drawn.kind;
  record.machine = drawn.machine->name;
  record.dpi = drawn.sheets.front().scan.dpi;
  record.jpeg_quality = drawn.sheets.front().jpeg_quality;
  record.what = describe(drawn);
  record.truth = drawn.truth;
  auto rendered = render(drawn, drawn.causes, drawn.sheets.front());
  if (!rendered) {
    record.what += "; not rendered: " + to_string(rendered.problems().front());
    return record;
  }
  RenderedSheet sheet = std::move(rendered).value();
  if (const Residue* residue = drawn.residue()) {
    record.width_mm = residue->width_mm;
    record.loss = residue->loss;
    record.contrast = true_contrast(drawn);
  }
  const PageRaster sensed = sheet.sensed();
  const ScanInput scan{"sheet 1", std::move(sheet.as_scanned)};
  read_one_sheet(drawn, scan, record);
  if (drawn.residue() != nullptr) read_as_ideal(drawn, sensed, options.ideal, record);
  if (drawn.kind == CaseKind::evidence) record.evidence = read_more(drawn, scan);
  return record;
}

}  // namespace scrapetrace::score
