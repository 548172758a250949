#include "profile/ink_view.h"

#include <algorithm>
#include <cmath>

#include "base/robust.h"
#include "page/expected_colour.h"

namespace scrapetrace::profile {

namespace {

constexpr double kLeastSignal = 1e-4;   // four density units: below any scanner's reach
constexpr double kLeastDensity = 0.05;  // of a patch in its channel, to say anything about its ink

// Running median over cells, back on the samples by straight lines between cell centres.
std::vector<float> baseline(const std::vector<float>& values, int from, int to, double pitch_mm,
                            double window_mm, double cell_mm) {
  std::vector<float> out(values.size(), 0.0F);
  const int cell = std::max(1, static_cast<int>(std::lround(cell_mm / pitch_mm)));
  const int n = std::max(1, (to - from) / cell);
  std::vector<double> means(static_cast<std::size_t>(n));
  for (int k = 0; k < n; ++k) {
    const int a = from + k * cell;
    const int b = k + 1 == n ? to : a + cell;
    double sum = 0;
    for (int i = a; i < b; ++i) sum += static_cast<double>(values[static_cast<std::size_t>(i)]);
    means[static_cast<std::size_t>(k)] = sum / (b - a);
  }
  const auto reach = static_cast<std::size_t>(std::lround(window_mm / cell_mm / 2));
  const auto smooth = running_median(means, reach);
  for (int i = from; i < to; ++i) {
    const double at = (i - from + 0.5) / cell - 0.5;
    const int k = std::clamp(static_cast<int>(std::floor(at)), 0, std::max(0, n - 2));
    const double t = std::clamp(at - k, 0.0, 1.0);
    const double next = smooth[static_cast<std::size_t>(std::min(k + 1, n - 1))];
    out[static_cast<std::size_t>(i)] =
        static_cast<float>(smooth[static_cast<std::size_t>(k)] * (1 - t) + next * t);
  }
  return out;
}

// Signal of the paper across, per channel: the mean of the bare strips' baselines, or full scale.
std::array<std::vector<float>, 3> paper_signal(const Strips& strips, const ViewOptions& options) {
  std::array<std::vector<float>, 3> paper;
  const auto n = static_cast<std::size_t>(strips.grid.size);
  for (std::size_t c = 0; c < 3; ++c) {
    std::vector<double> sum(n, 0.0);
    std::vector<double> rows(n, 0.0);
    for (const Strip& s : strips.strips) {
      if (s.patch >= 0) continue;
      const auto base = baseline(s.linear[c], s.from, s.to, strips.grid.pitch_mm, options.paper_baseline_mm,
                                 options.cell_mm);
      for (int i = s.from; i < s.to; ++i) {
        sum[static_cast<std::size_t>(i)] += s.rows * static_cast<double>(base[static_cast<std::size_t>(i)]);
        rows[static_cast<std::size_t>(i)] += s.rows;
      }
    }
    double last = 0;
    for (std::size_t i = 0; i < n && last == 0; ++i) last = rows[i] > 0 ? sum[i] / rows[i] : 0;
    if (last == 0) last = 1;
    paper[c].resize(n);
    for (std::size_t i = 0; i < n; ++i) {
      if (rows[i] > 0) last = sum[i] / rows[i];
      paper[c][i] = static_cast<float>(std::max(last, kLeastSignal));
    }
  }
  return paper;
}

InkView view_of(const Strips& strips, std::size_t index, int channel, const std::vector<float>& paper,
                const ViewOptions& options) {
  const Strip& strip = strips.strips[index];
  InkView view;
  view.strip = index;
  view.channel = channel;
  view.value.assign(strip.linear[0].size(), 0.0F);
  const auto& signal = strip.linear[static_cast<std::size_t>(channel)];
  for (int i = strip.from; i < strip.to; ++i) {
    view.value[static_cast<std::size_t>(i)] =
        signal[static_cast<std::size_t>(i)] / paper[static_cast<std::size_t>(i)];
  }
  const double window_mm = strip.patch < 0 ? options.paper_baseline_mm : options.baseline_mm;
  view.base = baseline(view.value, strip.from, strip.to, strips.grid.pitch_mm, window_mm, options.cell_mm);
  view.loss.assign(view.value.size(), 0.0F);
  return view;
}

void fill_loss(InkView& view, const Strip& strip) {
  for (int i = strip.from; i < strip.to; ++i) {
    const auto k = static_cast<std::size_t>(i);
    const double d = density_of(static_cast<double>(view.value[k]));
    const double d0 = density_of(static_cast<double>(view.base[k]));
    view.loss[k] = static_cast<float>(view.ink < 0 ? d0 - d : 1 - d / std::max(d0, kLeastDensity));
  }
}

}  // namespace

double density_of(double signal_over_paper) {
  return -std::log10(std::max(signal_over_paper, kLeastSignal));
}

double dot_density(double value, double coverage) {
  return density_of((value - (1 - coverage)) / coverage);
}

InkViews make_ink_views(const Strips& strips, const Chart& chart, const Layout& layout, bool grey,
                        const ViewOptions& options) {
  InkViews out;
  const auto paper = paper_signal(strips, options);
  for (std::size_t s = 0; s < strips.strips.size(); ++s) {
    const Strip& strip = strips.strips[s];
    if (strip.patch < 0) {
      InkView view = view_of(strips, s, 1, paper[1], options);
      fill_loss(view, strip);
      out.paper.push_back(std::move(view));
      continue;
    }
    const Patch& patch = chart.patches[static_cast<std::size_t>(strip.patch)];
    const Rgb all = page::solid_density(layout, patch.inks, grey);
    std::vector<int> used_channels;
    for (std::size_t ink = 0; ink < layout.inks.size(); ++ink) {
      const std::string& name = layout.inks[ink].name;
      if (std::find(patch.inks.begin(), patch.inks.end(), name) == patch.inks.end()) continue;
      const Rgb own = page::solid_density(layout, {name}, grey);
      // The channel this ink has most to itself, among those where it is strong enough to be seen.
      int channel = 0;
      double best = -1;
      for (int c = 0; c < 3; ++c) {
        const auto k = static_cast<std::size_t>(c);
        const double share = own[k] / std::max(all[k], 1e-9) * std::min(1.0, own[k] / 0.3) + 1e-3 * own[k];
        if (share > best) best = share, channel = c;
      }
      if (std::find(used_channels.begin(), used_channels.end(), channel) != used_channels.end()) continue;
      used_channels.push_back(channel);
      InkView view = view_of(strips, s, channel, paper[static_cast<std::size_t>(channel)], options);
      view.ink = static_cast<int>(ink);
      view.single_ink = patch.inks.size() == 1;
      view.coverage = patch.coverage;
      const auto middle = static_cast<std::size_t>((strip.from + strip.to) / 2);
      const double measured = dot_density(static_cast<double>(view.base[middle]), patch.coverage);
      const double nominal = all[static_cast<std::size_t>(channel)];
      if (measured < kLeastDensity || nominal < kLeastDensity) continue;
      view.ink_density.assign(layout.inks.size(), 0.0);
      for (std::size_t j = 0; j < layout.inks.size(); ++j) {
        if (std::find(patch.inks.begin(), patch.inks.end(), layout.inks[j].name) == patch.inks.end())
          continue;
        const double part =
            page::solid_density(layout, {layout.inks[j].name}, grey)[static_cast<std::size_t>(channel)];
        view.ink_density[j] = std::max(0.0, part) * measured / nominal;
      }
      fill_loss(view, strip);
      out.inked.push_back(std::move(view));
    }
  }
  return out;
}

}  // namespace scrapetrace::profile
