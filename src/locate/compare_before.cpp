#include "locate/compare_before.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"
#include "locate/survey.h"

namespace scrapetrace::locate_detail {

namespace {

using profile::InkView;

constexpr double kKnownMargin_mm = 1.0;  // around what was found before: its faint ends
constexpr float kNothingLeft = 0.8F;     // a loss before beyond which nothing more can be seen

// Mean loss of one ink over scans, on a grid; `seen` marks the samples that any strip shows.
struct MeanLoss {
  std::vector<float> loss;
  std::vector<bool> seen;
};

MeanLoss mean_loss(const std::vector<const profile::PreparedScan*>& scans, const profile::Grid& grid, int ink,
                   bool single) {
  const auto n = static_cast<std::size_t>(grid.size);
  std::vector<double> sum(n, 0.0);
  std::vector<double> rows(n, 0.0);
  for (const auto* scan : scans) {
    for (const InkView& view : ink < 0 ? scan->views.paper : scan->views.inked) {
      if (view.ink != ink || (ink >= 0 && view.single_ink != single)) continue;
      const auto& strip = scan->strips.strips[view.strip];
      for (std::size_t i = 0; i < n; ++i) {
        const double at = scan->strips.grid.index(grid.at(static_cast<double>(i)));
        const int k = static_cast<int>(std::floor(at));
        if (k < strip.from || k + 1 >= strip.to) continue;
        const double t = at - k;
        const auto left = static_cast<std::size_t>(k);
        sum[i] += strip.rows * ((1 - t) * static_cast<double>(view.loss[left]) +
                                t * static_cast<double>(view.loss[left + 1]));
        rows[i] += strip.rows;
      }
    }
  }
  MeanLoss out{std::vector<float>(n, 0.0F), std::vector<bool>(n, false)};
  for (std::size_t i = 0; i < n; ++i) {
    if (rows[i] <= 0) continue;
    out.loss[i] = static_cast<float>(sum[i] / rows[i]);
    out.seen[i] = true;
  }
  return out;
}

// How much of the earlier losses the present ones repeat, where nothing was wrong: least squares, without
// the far tails.
float repeated_part(const MeanLoss& now, const MeanLoss& earlier, const std::vector<bool>& known) {
  std::vector<double> values;
  for (std::size_t i = 0; i < now.loss.size(); ++i) {
    if (now.seen[i] && earlier.seen[i] && !known[i]) values.push_back(static_cast<double>(earlier.loss[i]));
  }
  if (values.size() < 50) return 0;
  const double limit = 4 * robust_sigma(values, median(values));
  double product = 0;
  double square = 0;
  for (std::size_t i = 0; i < now.loss.size(); ++i) {
    const auto a = static_cast<double>(now.loss[i]);
    const auto b = static_cast<double>(earlier.loss[i]);
    if (!now.seen[i] || !earlier.seen[i] || known[i] || std::abs(b) > limit || std::abs(a) > limit) continue;
    product += a * b;
    square += b * b;
  }
  return square > 0 ? static_cast<float>(std::clamp(product / square, 0.0, 1.0)) : 0.0F;
}

void take_out(const MeanLoss& earlier, float part, const std::vector<bool>& known, bool paper,
              InkView& view) {
  for (std::size_t i = 0; i < view.loss.size(); ++i) {
    if (!earlier.seen[i]) continue;
    float& loss = view.loss[i];
    if (paper || !known[i]) {
      loss -= (known[i] ? 1.0F : part) * earlier.loss[i];
    } else {
      loss = earlier.loss[i] > kNothingLeft ? 0.0F : 1 - (1 - loss) / (1 - earlier.loss[i]);
    }
  }
}

void count_from(const diagnose::Before& before, bool paper, profile::PreparedScan& scan) {
  std::vector<InkView>& views = paper ? scan.views.paper : scan.views.inked;
  const profile::Grid& grid = scan.strips.grid;
  std::vector<bool> known(static_cast<std::size_t>(grid.size), false);
  for (std::size_t i = 0; i < known.size(); ++i) {
    const double x = grid.at(static_cast<double>(i));
    known[i] = std::any_of(before.known_mm.begin(), before.known_mm.end(),
                           [&](const Interval& k) { return x >= k.from_mm && x <= k.to_mm; });
  }
  std::vector<const profile::PreparedScan*> earlier_scans;
  for (const auto& earlier : before.scans) earlier_scans.push_back(&earlier);
  std::vector<std::pair<int, bool>> done;
  for (const InkView& view : views) {
    const std::pair key{view.ink, view.single_ink};
    if (std::find(done.begin(), done.end(), key) != done.end()) continue;
    done.push_back(key);
    const MeanLoss earlier = mean_loss(earlier_scans, grid, view.ink, view.single_ink);
    const MeanLoss now = mean_loss({&scan}, grid, view.ink, view.single_ink);
    const float part = repeated_part(now, earlier, known);
    for (InkView& other : views) {
      if (std::pair{other.ink, other.single_ink} == key) take_out(earlier, part, known, paper, other);
    }
  }
}

}  // namespace

diagnose::Before make_before(const geometry::Machine& machine, std::vector<profile::PreparedScan> scans,
                             double false_alarm_rate, int threads) {
  diagnose::Before before;
  before.scans = std::move(scans);
  for (const auto& scan : before.scans)
    before.noise.push_back(diagnose::measure_ink_noise(machine, scan, threads));
  for (const auto& region : survey(machine, before.scans, false_alarm_rate, threads)) {
    before.known_mm.push_back({region.x_mm.from_mm - kKnownMargin_mm, region.x_mm.to_mm + kKnownMargin_mm});
  }
  return before;
}

profile::PreparedScan counted_from(const diagnose::Before& before, profile::PreparedScan scan) {
  count_from(before, false, scan);
  count_from(before, true, scan);
  return scan;
}

}  // namespace scrapetrace::locate_detail
