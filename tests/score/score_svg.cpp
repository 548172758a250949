#include "score/score_svg.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "report/picture_style.h"
#include "score/panel.h"

namespace scrapetrace::score {

using report::Anchor;
using report::Stroke;
using report::Svg;
namespace picture = report::picture;

namespace {

constexpr double kPanelWidth = 470;
constexpr double kPanelHeight = 300;
constexpr double kChartLeft = 60;
constexpr double kTop = 90;
constexpr double kAcross = 560;
constexpr double kDown = 400;
constexpr std::string_view kOurs = "#1f5f8b";
constexpr std::string_view kBest = "#b3541e";
constexpr Stroke kOursLine{kOurs, 2.5, {}};
constexpr Stroke kBestLine{kBest, 2, "6,4"};

Axis share_axis(const std::string& title) {
  return {0, 1, false, {{0, "0"}, {0.25, "25"}, {0.5, "50"}, {0.75, "75"}, {1, "100"}}, title};
}

void draw_ranks(Svg& svg, const ScoreSummary& s) {
  std::vector<const RankRow*> rows;
  for (const RankRow& row : s.targets) {
    if (row.first.cases > 0) rows.push_back(&row);
  }
  Axis across{0, static_cast<double>(std::max<std::size_t>(1, rows.size())), false, {}, "cases of"};
  for (std::size_t k = 0; k < rows.size(); ++k)
    across.ticks.emplace_back(static_cast<double>(k) + 0.5, rows[k]->name);
  Axis up = share_axis("");
  up.to = 1.12;  // room for the figures
  const Panel panel(svg, kChartLeft, kTop, kPanelWidth, kPanelHeight, across, up);
  panel.frame("Right first target, %");
  for (std::size_t k = 0; k < rows.size(); ++k) {
    const auto at = static_cast<double>(k);
    const RankRow& row = *rows[k];
    panel.bar(at + 0.16, at + 0.48, row.first.value, kOurs);
    panel.whisker(at + 0.32, row.first.low, row.first.high, picture::kInk);
    if (row.ideal_first.cases == 0) continue;
    panel.bar(at + 0.52, at + 0.84, row.ideal_first.value, kBest);
    panel.whisker(at + 0.68, row.ideal_first.low, row.ideal_first.high, picture::kInk);
  }
  svg.text(kChartLeft + 8, kTop + 16, "left bars: locate, right bars: ideal reader",
           {11, false, Anchor::start, picture::kInk});
}

void draw_reliability(Svg& svg, const ScoreSummary& s) {
  Axis across = share_axis("probability given, %");
  const Panel panel(svg, kChartLeft + kAcross, kTop, kPanelWidth, kPanelHeight, across, share_axis(""));
  panel.frame("Reliability: named targets that were right, %");
  panel.curve({{0, 0}, {1, 1}}, {picture::kRule, 1.5, "4,4"});
  std::vector<std::pair<double, double>> points;
  for (const ReliabilityBin& bin : s.located.named.bins) {
    panel.whisker(bin.probability, bin.right.low, bin.right.high, kOurs);
    panel.dot(bin.probability, bin.right.value, 8, kOurs);
    points.emplace_back(bin.probability, bin.right.value);
  }
  panel.curve(points, {kOurs, 1.5});
  panel.legend(1, "locate", kOursLine);
  panel.legend(0, "as it should be", {picture::kRule, 1.5, "4,4"});
}

void draw_detection(Svg& svg, const ScoreSummary& s) {
  const Axis across{1,
                    1000,
                    true,
                    {{1, "1"}, {3, "3"}, {10, "10"}, {30, "30"}, {100, "100"}, {300, "300"}, {1000, "1000"}},
                    "contrast: d' of the matched filter with known noise"};
  const Panel panel(svg, kChartLeft, kTop + kDown, kPanelWidth, kPanelHeight, across, share_axis(""));
  panel.frame("Faint streaks found, %");
  constexpr std::array<std::string_view, 3> kShades{"#7fb2d3", "#3f86b3", "#123c59"};
  int row = 0;
  for (std::size_t k = 0; k + 1 < s.detection.size() && k < kShades.size(); ++k) {
    const DetectionRow& widths = s.detection[k];
    if (widths.cases == 0) continue;
    std::vector<std::pair<double, double>> points;
    for (const DetectionBin& bin : widths.bins) {
      points.emplace_back(bin.d_prime, bin.found.value);
      panel.dot(bin.d_prime, bin.found.value, 6, kShades[k]);
    }
    panel.curve(points, {kShades[k], 2});
    panel.legend(row++, "locate, " + widths.widths, {kShades[k], 2});
  }
  if (s.detection.empty()) return;
  auto bound = s.detection.back().bound;
  bound.emplace_back(1000, 1);
  panel.curve(bound, kBestLine);
  panel.legend(row, "matched filter", kBestLine);
}

void draw_position(Svg& svg, const ScoreSummary& s) {
  const PositionSummary& p = s.position;
  const PositionSummary& q = s.ideal_position;
  const double most =
      1.25 * std::max({p.rms_error_mm, p.rms_claimed_mm, p.rms_bound_mm, q.rms_error_mm, 0.01});
  Axis up{0, most, false, {}, ""};
  for (int k = 0; k <= 4; ++k) up.ticks.emplace_back(most * k / 4, fmt::format("{:.3f}", most * k / 4));
  const Axis across{
      0,
      5,
      false,
      {{0.5, "error"}, {1.5, "claimed"}, {2.5, "bound"}, {3.5, "ideal error"}, {4.5, "its bound"}},
      "RMS, mm"};
  const Panel panel(svg, kChartLeft + kAcross, kTop + kDown, kPanelWidth, kPanelHeight, across, up);
  panel.frame("Position of the residue");
  const std::array<double, 5> values{p.rms_error_mm, p.rms_claimed_mm, p.rms_bound_mm, q.rms_error_mm,
                                     q.rms_bound_mm};
  for (std::size_t k = 0; k < values.size(); ++k) {
    const auto at = static_cast<double>(k);
    panel.bar(at + 0.2, at + 0.8, values[k], k < 2 ? kOurs : kBest);
    svg.text(panel.x(at + 0.5), panel.y(values[k]) - 6, fmt::format("{:.4f}", values[k]),
             {11, false, Anchor::middle, picture::kInk});
  }
}

// Log loss of the same cases, read with ever more to go by.
void draw_evidence(Svg& svg, const ScoreSummary& s) {
  double most = 0.01;
  for (const EvidenceRow& row : s.evidence) most = std::max(most, 1.1 * row.log_loss.high);
  Axis up{0, most, false, {}, ""};
  for (int k = 0; k <= 4; ++k) up.ticks.emplace_back(most * k / 4, fmt::format("{:.2f}", most * k / 4));
  Axis across{0,
              static_cast<double>(s.evidence.size()),
              false,
              {},
              fmt::format("{} cases", s.evidence.front().log_loss.cases)};
  for (std::size_t k = 0; k < s.evidence.size(); ++k)
    across.ticks.emplace_back(static_cast<double>(k) + 0.5, s.evidence[k].name);
  const Panel panel(svg, kChartLeft, kTop + 2 * kDown, kPanelWidth + kAcross, kPanelHeight, across, up);
  panel.frame("More to go by: log loss, nats");
  for (std::size_t k = 0; k < s.evidence.size(); ++k) {
    const auto at = static_cast<double>(k);
    const Estimate& loss = s.evidence[k].log_loss;
    panel.bar(at + 0.3, at + 0.7, loss.value, k == 0 ? kBest : kOurs);
    panel.whisker(at + 0.5, loss.low, loss.high, picture::kInk);
    if (k == 0) continue;
    const Estimate& gain = s.evidence[k].gain;
    svg.text(panel.x(at + 0.5), panel.y(loss.high) - 8,
             fmt::format("gains {:.2f} ({:.2f} to {:.2f})", gain.value, gain.low, gain.high),
             {11, false, Anchor::middle, picture::kInk});
  }
}

}  // namespace

std::string score_svg(const ScoreSummary& summary) {
  Svg svg;
  svg.text(kChartLeft, 40, fmt::format("How good the answers are: {} random cases", summary.cases),
           {20, true, Anchor::start, picture::kInk});
  draw_ranks(svg, summary);
  draw_reliability(svg, summary);
  draw_detection(svg, summary);
  draw_position(svg, summary);
  if (summary.evidence.empty()) return std::move(svg).finish(1130, 860, picture::kBackground);
  draw_evidence(svg, summary);
  return std::move(svg).finish(1130, 860 + kDown, picture::kBackground);
}

}  // namespace scrapetrace::score
