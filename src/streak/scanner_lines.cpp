#include "streak/scanner_lines.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "base/parallel.h"
#include "base/robust.h"
#include "streak/box_search.h"

namespace scrapetrace::streak {

namespace {

constexpr double kLeastContrast = 0.004;     // density; one per cent of signal: fainter lines do not matter
constexpr double kLeastBlocks = 4;           // of bare paper: fewer do not tell a line from noise
constexpr double kLeastRows = 0.6;           // of the best seen column's
constexpr double kSheetEdge_mm = 4.0;        // left out at both sides: feed play and the edge's shadow
constexpr std::size_t kColumnsAtOnce = 512;  // that a thread takes

// Sheet y ranges in which no patch lies, inset.
std::vector<Interval> bare_rows(const Chart& chart, double inset_mm) {
  std::vector<Interval> inked;
  for (const Patch& p : chart.patches) inked.push_back({p.y_mm[0] - inset_mm, p.y_mm[1] + inset_mm});
  std::sort(inked.begin(), inked.end(),
            [](const Interval& a, const Interval& b) { return a.from_mm < b.from_mm; });
  std::vector<Interval> bare;
  double at = inset_mm;
  for (const Interval& i : inked) {
    if (i.from_mm > at) bare.push_back({at, i.from_mm});
    at = std::max(at, i.to_mm);
  }
  if (chart.sheet_mm[1] - inset_mm > at) bare.push_back({at, chart.sheet_mm[1] - inset_mm});
  return bare;
}

// Mean of the green channel of bare paper in each raster column; 0 where there is none.
std::vector<double> bare_column_means(const PageRaster& raster, const page::Placement& placement,
                                      const ScannerLineOptions& options) {
  const auto bare = bare_rows(placement.chart, options.inset_mm);
  const auto inverse = page::sheet_from_raster(placement.map);
  const double half_block_mm = 0.5 * raster.rows_per_block * std::abs(inverse.q[2]);
  std::vector<double> sum(static_cast<std::size_t>(raster.width_px), 0.0);
  std::vector<double> count(sum.size(), 0.0);
  for_each_stretch(sum.size(), kColumnsAtOnce, options.threads, [&](std::size_t from, std::size_t to) {
    for (int b = 0; b < raster.blocks(); ++b) {
      const double v = b * raster.rows_per_block + 0.5 * raster.rows_in(b);
      const std::uint16_t* row = raster.row(b, 1);
      const double y_ends[2] = {inverse.y(0, v), inverse.y(raster.width_px, v)};
      for (const Interval& range : bare) {
        if (std::max(y_ends[0], y_ends[1]) < range.from_mm || std::min(y_ends[0], y_ends[1]) > range.to_mm)
          continue;
        for (std::size_t u = from; u < to; ++u) {
          const double y = inverse.y(static_cast<double>(u) + 0.5, v);
          const double x = inverse.x(static_cast<double>(u) + 0.5, v);
          if (y - half_block_mm < range.from_mm || y + half_block_mm > range.to_mm) continue;
          if (x < kSheetEdge_mm || x > placement.chart.sheet_mm[0] - kSheetEdge_mm) continue;
          sum[u] += row[u];
          count[u] += 1;
        }
      }
    }
  });
  // Columns at the sides that a skewed sheet leaves early would be noisier than the rest.
  const double most = *std::max_element(count.begin(), count.end());
  if (most < kLeastBlocks) return std::vector<double>(sum.size(), 0.0);
  for (std::size_t u = 0; u < sum.size(); ++u) sum[u] = count[u] > kLeastRows * most ? sum[u] / count[u] : 0;
  return sum;
}

// Beside a line the paper is level; on the crest of a narrow haze it bends away by more than the crest stands
// out. Both sides are taken together, so that a slope does not count.
bool beside_is_level(const std::vector<double>& logs, const Detection& line) {
  std::vector<double> near;
  std::vector<double> far;
  for (int i = 0; i < static_cast<int>(logs.size()); ++i) {
    const double outside = std::abs(i - line.centre) - 0.5 * line.width;
    if (outside >= 0.5 && outside < 3) near.push_back(logs[static_cast<std::size_t>(i)]);
    if (outside >= 6 && outside < 11) far.push_back(logs[static_cast<std::size_t>(i)]);
  }
  return std::abs(median(near) - median(far)) < 0.5 * line.mean;
}

}  // namespace

std::vector<ScannerLineFinding> find_scanner_lines(const PageRaster& raster, const page::Placement& placement,
                                                   const ScannerLineOptions& options) {
  const auto means = bare_column_means(raster, placement, options);
  int from = 0;
  int to = static_cast<int>(means.size());
  while (from < to && means[static_cast<std::size_t>(from)] <= 0) ++from;
  while (to > from && means[static_cast<std::size_t>(to) - 1] <= 0) --to;
  if (to - from < 200) return {};
  std::vector<double> logs;
  for (int u = from; u < to; ++u)
    logs.push_back(std::log10(std::max(1.0, means[static_cast<std::size_t>(u)])));
  const auto level = running_median(logs, static_cast<std::size_t>(options.widest_px + 3), options.threads);

  std::array<std::vector<ScannerLineFinding>, 2> found;  // dark ones, then light ones
  for_each_part(found.size(), options.threads, [&](std::size_t k) {
    const double sign = k == 0 ? 1.0 : -1.0;
    Signal signal;
    signal.from = 0;
    signal.to = static_cast<int>(logs.size());
    for (std::size_t i = 0; i < logs.size(); ++i) signal.value.push_back(sign * (level[i] - logs[i]));
    BoxSearchOptions box{1, options.widest_px, 1e-7};
    box.probability = options.false_alarm_rate / (2 * independent_cells(signal, box));
    for (const Detection& d : search_boxes(signal, box)) {
      if (d.mean < kLeastContrast || !beside_is_level(logs, d)) continue;
      found[k].push_back({from + d.centre + 0.5, d.width, std::pow(10.0, -sign * d.mean), d.z});
    }
  });
  std::vector<ScannerLineFinding> out = std::move(found[0]);
  out.insert(out.end(), found[1].begin(), found[1].end());
  std::stable_sort(out.begin(), out.end(),
                   [](const ScannerLineFinding& a, const ScannerLineFinding& b) { return a.u_px < b.u_px; });
  return out;
}

}  // namespace scrapetrace::streak
