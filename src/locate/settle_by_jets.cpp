#include "locate/settle_by_jets.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <string>

#include "base/gaussian.h"
#include "base/written_mm.h"
#include "geometry/frames.h"
#include "jets/find_pattern.h"
#include "jets/heads_apart.h"
#include "jets/part_evidence.h"
#include "locate/move_to_jets.h"
#include "page/find_patches.h"
#include "quality/pixel_issues.h"
#include "quality/profile_issues.h"

namespace scrapetrace::locate_detail {

namespace {

constexpr double kDecided = 50;            // of log evidence: by so much one place must beat the next
constexpr double kNegligible = 1e-6;       // of probability: a way round below it is left out
constexpr double kTagStretch = 0.004;      // that a resolution tag may be off
constexpr double kMarkStretch = 0.0005;    // that a fit to marks may be off
constexpr double kOneSideStretch = 0.006;  // that a print of which one side places it may be off
constexpr double kScaleSigmas = 2;         // besides, of what the layout's scale is not known better
constexpr double kMarkPlace_mm = 0.3;      // that a print's place on the drum may differ from the layout's
constexpr double kTellOffset_mm = 0.15;
constexpr double kLayoutOff = 0.3;  // of layouts, by more than their tolerance: judgement
constexpr double kMoreLeft = 0.1;  // of a pattern than its parts leave each by itself: then a head stands off

bool by_edges(const page::Placement& place) {
  return place.datum == Datum::sheet_edges || place.datum == Datum::image_edges;
}

// Placed so that the jets may move it.
bool loosely(const page::Placement& place) {
  return by_edges(place) || place.side_touched;
}

// Where the marks place the print best.
jets::Anchor anchor_of(const profile::PreparedScan& scan) {
  jets::Anchor out{0, scan.x_sigma_mm};
  for (const auto& error : scan.x_errors) {
    if (error.sigma_mm <= out.sigma_mm) out = {error.x_mm, error.sigma_mm};
  }
  return out;
}

bool decided(const jets::Pattern& pattern) {
  return pattern.verdict == jets::PatternVerdict::recognised &&
         pattern.log_evidence > pattern.next_best + kDecided;
}

bool all_heads_agree(const jets::Pattern& pattern) {
  return pattern.verdict == jets::PatternVerdict::recognised &&
         pattern.left_over < (pattern.part_ratio + kMoreLeft) * pattern.elsewhere;
}

// What is left of a shift when the nearest whole number of pitches is taken off.
double rest_of_pitch_mm(const Layout& layout, double shift_mm) {
  const double pitch_mm = layout.px_mm() * layout.interleave.jet_pitch_px;
  return shift_mm - pitch_mm * std::round(shift_mm / pitch_mm);
}

// Marks are off by parts of a column, not by a jet's pitch, and of whole pitches only the heads' ends tell,
// which steps at the seams may outshout: what lies a whole number of pitches off at the drum X where marks
// place the scan lies where they do.
jets::Pattern within_a_pitch(const Layout& layout, jets::Pattern pattern, double marked_mm) {
  const double there_mm = pattern.place.shift_mm + pattern.place.stretch * (marked_mm - pattern.middle_mm);
  pattern.place.shift_mm += rest_of_pitch_mm(layout, there_mm) - there_mm;
  return pattern;
}

// What a way round shows of the jets, and where their pattern lies.
struct JetsShown {
  std::shared_ptr<const jets::JetData> data;
  jets::Pattern pattern;
};

JetsShown shown_by(const geometry::Machine& machine, const AnalysedScan& way, bool bent, int threads) {
  jets::PatternOptions options;
  options.threads = threads;
  options.bent = bent;
  options.sigma_mm = by_edges(way.placement) ? way.prepared->x_sigma_mm : kMarkPlace_mm;
  options.stretch =
      by_edges(way.placement) ? kTagStretch : kMarkStretch + kScaleSigmas * machine.layout.tolerance.scale;
  if (way.placement.side_touched) {
    options.stretch = kOneSideStretch;
    options.anchor = anchor_of(*way.prepared);
  }
  auto data = std::make_shared<const jets::JetData>(machine, *way.prepared, threads);
  const jets::Pattern pattern = jets::find_pattern(*data, machine, options);
  return {std::move(data), pattern};
}

quality::Issue other_machine(const Layout& layout) {
  return {ScanIssue::wrong_machine,
          "was not printed by this machine, or the layout or the chart is another's: the fine pattern that "
          "jets leave in a "
          "print repeats nowhere as the heads and the interleave of \"" +
              layout.name +
              "\" would have it; give the layout of the machine that printed the sheet, and the "
              "chart that was printed"};
}

quality::Issue unproved(const Layout& layout) {
  return {
      ScanIssue::unproved_layout,
      "shows the fine pattern that jets leave in a print, and the heads and the interleave of \"" +
          layout.name +
          "\" do not explain it: another machine may have printed the sheet, so that every place below is "
          "a guess; give the layout of the machine that printed it, or scan again as sharp and flat as you "
          "can"};
}

// A photo's flattening, and a scanner's bend after it was straightened by tags, leave a column and more:
// there only parts of the page lie straight.
bool is_bent(const PageRaster& raster) {
  return raster.flattening_sigma_mm > 0 || !raster.bend_sigma_mm.empty();
}

// Only seams tell places apart that are a whole pitch from each other: too little to accuse a layout.
bool by_whole_pitches(const Layout& layout, double shift_mm) {
  constexpr double kSame_columns = 1.0;
  return std::abs(rest_of_pitch_mm(layout, shift_mm)) < kSame_columns * layout.px_mm();
}

// How well the layout's tolerance lets a place be known: sheet x = 0 is where its scale has no say.
double known_to_mm(const Layout& layout, double x_drum_mm) {
  return layout.tolerance.place_mm +
         layout.tolerance.scale * std::abs(x_drum_mm - layout.transfer.sheet_left_on_drum_mm);
}

double told_from_mm(const Layout& layout, double x_drum_mm) {
  return std::max(kTellOffset_mm, known_to_mm(layout, x_drum_mm));
}

std::optional<quality::Issue> heads_off(const Layout& layout, const jets::Pattern& pattern,
                                        const page::Placement& place) {
  if (pattern.verdict == jets::PatternVerdict::in_part) {
    return quality::Issue{ScanIssue::wrong_machine,
                          "the fine pattern that jets leave in a print fits the layout only in part, so that "
                          "some heads may stand elsewhere: check first_jet_px, offset_mm and the interleave "
                          "in the layout, and give the layout of the machine that printed the sheet"};
  }
  const double shift_mm = pattern.place.shift_mm;
  if (loosely(place) || !decided(pattern) || std::abs(shift_mm) < told_from_mm(layout, pattern.middle_mm) ||
      by_whole_pitches(layout, shift_mm))
    return std::nullopt;
  return quality::Issue{
      ScanIssue::wrong_machine,
      "the fine pattern that jets leave in a print lies " + written_mm(std::abs(shift_mm), 2) +
          (shift_mm > 0 ? " to the right" : " to the left") +
          " on the drum of where the layout has the heads: check first_jet_px and sheet_left_on_drum_mm in "
          "the layout, and that the chart is the one that was printed"};
}

quality::Issue stand_apart(const Layout& layout, const jets::HeadsApart& apart) {
  const std::string who =
      apart.carriage ? "the heads of carriage \"" + layout.carriages[*apart.carriage].name + "\" stand "
                     : "head \"" + layout.heads[apart.heads.front()].name + "\" stands ";
  return {
      ScanIssue::wrong_machine,
      "beside the others, " + who + written_mm(std::abs(apart.off_mm), 2) +
          (apart.off_mm > 0 ? " to the right" : " to the left") +
          " on the drum of where the layout has it, so that only plain streaks were looked for and places "
          "near its seams may be wrong: check " +
          (apart.carriage ? "the carriage's offset_mm" : "its first_jet_px") +
          " in the layout, and give the layout of the machine that printed the sheet"};
}

bool same_across(const AnalysedScan& a, const AnalysedScan& b) {
  return by_edges(a.placement) && by_edges(b.placement) &&
         (a.placement.map.ux > 0) == (b.placement.map.ux > 0);
}

// What the pattern on a way round says against the layout.
struct Doubt {
  std::optional<quality::Issue> issue;
  bool jets_in_place = true;
  double apart_mm = 0;  // on the drum: where marks place all heads, and where the pattern does
};

Doubt doubt_layout(const geometry::Machine& machine, const JetsShown& shown, const AnalysedScan& way,
                   int threads) {
  const jets::Pattern& pattern = shown.pattern;
  if (pattern.verdict != jets::PatternVerdict::unseen) {
    if (const auto apart = jets::heads_apart(*shown.data, machine, pattern, threads))
      return {stand_apart(machine.layout, *apart), false};
  }
  auto issue = heads_off(machine.layout, pattern, way.placement);
  if (pattern.verdict == jets::PatternVerdict::in_part) return {std::move(issue), false};
  if (!issue) return {};
  return {std::move(issue), false, std::abs(pattern.place.shift_mm)};
}

std::vector<JetsShown> shown_by_each(const geometry::Machine& machine, const std::vector<AnalysedScan>& ways,
                                     bool bent, int threads) {
  std::vector<JetsShown> out;
  for (std::size_t k = 0; k < ways.size(); ++k) {
    const auto same = std::find_if(ways.begin(), ways.begin() + static_cast<std::ptrdiff_t>(k),
                                   [&](const AnalysedScan& way) { return same_across(way, ways[k]); });
    const auto known = static_cast<std::size_t>(same - ways.begin());
    out.push_back(known < k ? out[known] : shown_by(machine, ways[k], bent, threads));
  }
  return out;
}

// A lossy coder leaves parts of the pattern out.
bool rounded(const PixelStatistics& pixels) {
  return quality::coder_smear_px(pixels) > 0;
}

// Moire, tints' screens or a coder's blocks, which hide the jets' pattern without anything being wrong with
// the machine.
bool shows_foreign_pattern(const Layout& layout, const PageRaster& raster, const AnalysedScan& way,
                           int threads) {
  const auto issues = quality::pixel_issues(raster.pixels);
  const auto& views = way.prepared->views.inked;
  return std::any_of(views.begin(), views.end(), [](const auto& view) { return view.evened; }) ||
         quality::moire_period_mm(way.prepared->strips, views, layout, threads).has_value() ||
         std::any_of(issues.begin(), issues.end(),
                     [](const quality::Issue& issue) { return issue.kind == ScanIssue::compressed; });
}

// A pass that lands beside its place: with few passes, so much of the pattern lies elsewhere that the rest
// proves nothing. That such a comb repeats at the layout's own pitch on its own heads speaks for the layout.
bool pass_beside(const AnalysedScan& way) {
  return way.prepared->views.any_pass_beside();
}

bool seen(const jets::Pattern& pattern) {
  return pattern.verdict == jets::PatternVerdict::recognised ||
         pattern.verdict == jets::PatternVerdict::in_part;
}

void normalise(std::vector<AnalysedScan>& ways) {
  double sum = 0;
  for (const AnalysedScan& way : ways) sum += way.placement.probability;
  for (AnalysedScan& way : ways) way.placement.probability /= sum;
}

// Puts a way round where the jets' pattern lies, as far as it may be moved.
void settle_way(const Layout& layout, const jets::Pattern& pattern, const Doubt& doubt,
                const PrepareAgain& prepare_again, AnalysedScan& way) {
  if (!loosely(way.placement)) {
    if (doubt.apart_mm > 0) {
      loosen(layout, doubt.apart_mm, way.placement, *way.prepared);
    } else if (all_heads_agree(pattern)) {
      tighten_by_jets(layout, within_a_pitch(layout, pattern, pattern.middle_mm), way.placement,
                      *way.prepared);
    }
    return;
  }
  if (!decided(pattern)) return;
  page::Placement place = way.placement;
  const bool marked = place.side_touched && !by_edges(place);
  place_by_jets(layout, marked ? within_a_pitch(layout, pattern, anchor_of(*way.prepared).x_mm) : pattern,
                place);
  if (auto again = prepare_again(std::move(place))) {
    again->same = std::move(way.same);
    way = std::move(*again);
  }
}

// Drum X on one way round to that of the same spot of the raster on another, in the middle of the sheet.
jets::DrumMap drum_map(const Layout& layout, const page::Placement& to, const page::Placement& from) {
  const geometry::SheetFromDrum sheet_from_drum(layout);
  const double y_mm = from.chart.sheet_mm[1] / 2;
  const auto at = [&](double x_drum_mm) {
    const double x_mm = sheet_from_drum.sheet_x(x_drum_mm);
    return sheet_from_drum.drum_x(to.map.sheet(from.map.u(x_mm, y_mm), from.map.v(x_mm, y_mm))[0]);
  };
  constexpr double kFar_mm = 100;
  return {at(0), (at(kFar_mm) - at(0)) / kFar_mm};
}

// Ways that show the same jets in the same order: turned by half and mirrored, for one.
bool same_across_raster(const page::Placement& a, const page::Placement& b) {
  constexpr double kSameScale = 0.001;
  return std::abs(a.map.ux / b.map.ux - 1) < kSameScale;
}

// Log likelihood of where in a jet's pitch the jets lie, against anywhere: at the place that marks give them,
// on the way the sheet lies, unless the layout is off; by chance, on another.
double log_odds_of_place(const Layout& layout, const JetsShown& shown, const AnalysedScan& way) {
  const jets::Pattern& pattern = shown.pattern;
  if (loosely(way.placement) || pattern.verdict != jets::PatternVerdict::recognised) return 0;
  const double off_mm = rest_of_pitch_mm(layout, pattern.place.shift_mm);
  const double sigma_mm = std::hypot(known_to_mm(layout, pattern.middle_mm), pattern.sigma_mm);
  const double density = gaussian_density(off_mm / sigma_mm) / sigma_mm;
  const double pitch_mm = layout.px_mm() * layout.interleave.jet_pitch_px;
  return std::log(kLayoutOff + (1 - kLayoutOff) * density * pitch_mm);
}

// Gives the ways what the jets make of their probabilities.
void weigh_by_jets(const geometry::Machine& machine, const std::vector<JetsShown>& shown, int threads,
                   std::vector<AnalysedScan>& ways) {
  const jets::WayShown front{*shown.front().data, shown.front().pattern.place};
  const double place_of_front = log_odds_of_place(machine.layout, shown.front(), ways.front());
  std::vector<double> log_odds{0};
  for (std::size_t k = 1; k < ways.size(); ++k) {
    const auto end = ways.begin() + static_cast<std::ptrdiff_t>(k);
    const auto same = std::find_if(ways.begin(), end, [&](const AnalysedScan& way) {
      return same_across_raster(way.placement, ways[k].placement);
    });
    if (same != end) {
      log_odds.push_back(log_odds[static_cast<std::size_t>(same - ways.begin())]);
      continue;
    }
    const jets::WayShown way{*shown[k].data, shown[k].pattern.place};
    const auto map = drum_map(machine.layout, ways.front().placement, ways[k].placement);
    log_odds.push_back(jets::log_odds(jets::evidence_by_parts(machine, way, front, map, threads)) +
                       log_odds_of_place(machine.layout, shown[k], ways[k]) - place_of_front);
  }
  const double most = *std::max_element(log_odds.begin(), log_odds.end());
  for (std::size_t k = 0; k < ways.size(); ++k) ways[k].placement.probability *= std::exp(log_odds[k] - most);
  normalise(ways);
}

std::size_t likeliest_way(const std::vector<AnalysedScan>& ways) {
  const auto best =
      std::max_element(ways.begin(), ways.end(), [](const AnalysedScan& a, const AnalysedScan& b) {
        return a.placement.probability < b.placement.probability;
      });
  return static_cast<std::size_t>(best - ways.begin());
}

std::size_t best_shown(const std::vector<JetsShown>& shown) {
  const auto best = std::max_element(shown.begin(), shown.end(), [](const JetsShown& a, const JetsShown& b) {
    return a.pattern.log_evidence < b.pattern.log_evidence;
  });
  return static_cast<std::size_t>(best - shown.begin());
}

}  // namespace

JetsSay settle_by_jets(const Layout& layout, const PageRaster& raster, const PrepareAgain& prepare_again,
                       std::vector<AnalysedScan>& ways, int threads) {
  const geometry::Machine machine(layout);
  const bool bent = is_bent(raster);
  // What looks like another machine's pattern has a cause of its own.
  const auto excused = [&] {
    return pass_beside(ways.front()) || shows_foreign_pattern(layout, raster, ways.front(), threads);
  };
  const auto shown = shown_by_each(machine, ways, bent, threads);
  if (std::all_of(shown.begin(), shown.end(),
                  [](const JetsShown& s) { return s.pattern.verdict == jets::PatternVerdict::contradicted; }))
    return excused() ? JetsSay{} : JetsSay{other_machine(layout), true};
  const auto unexplained = [&](const JetsShown& s) {
    return s.pattern.verdict == jets::PatternVerdict::unexplained;
  };
  const auto say_unproved = [&] { return excused() ? JetsSay{} : JetsSay{unproved(layout)}; };
  if (std::none_of(shown.begin(), shown.end(), [](const JetsShown& s) { return seen(s.pattern); }))
    return std::any_of(shown.begin(), shown.end(), unexplained) ? say_unproved() : JetsSay{};
  // The parts of a bent scan tell no way from another.
  if (ways.size() > 1 && !bent) weigh_by_jets(machine, shown, threads, ways);
  const std::size_t best = bent ? best_shown(shown) : likeliest_way(ways);
  if (unexplained(shown[best])) return say_unproved();
  if (!seen(shown[best].pattern)) return {};
  JetsSay out;
  out.recognised = shown[best].pattern.verdict == jets::PatternVerdict::recognised;
  if (bent) return out;
  Doubt doubt = doubt_layout(machine, shown[best], ways[best], threads);
  if (doubt.issue && (rounded(raster.pixels) || shows_foreign_pattern(layout, raster, ways.front(), threads)))
    doubt = {};
  out.issue = std::move(doubt.issue);
  std::vector<AnalysedScan> left;
  for (std::size_t k = 0; k < ways.size(); ++k) {
    if (ways[k].placement.probability < kNegligible) continue;
    left.push_back(std::move(ways[k]));
    settle_way(layout, shown[k].pattern, doubt, prepare_again, left.back());
  }
  for (AnalysedScan& way : left) way.prepared->jets_in_place = doubt.jets_in_place;
  ways = std::move(left);
  normalise(ways);
  std::stable_sort(ways.begin(), ways.end(), [](const AnalysedScan& a, const AnalysedScan& b) {
    return a.placement.probability > b.placement.probability;
  });
  return out;
}

}  // namespace scrapetrace::locate_detail
