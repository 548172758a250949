#include "profile/ink_view.h"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <utility>

#include "base/parallel.h"
#include "geometry/column_map.h"
#include "geometry/frames.h"
#include "page/expected_colour.h"
#include "profile/baseline.h"
#include "profile/fringes.h"
#include "profile/pass_comb.h"

namespace scrapetrace::profile {

namespace {

constexpr double kLeastSignal = 1e-4;  // four density units: below any scanner's reach
constexpr double kBlack =
    1e-3;  // of full scale, about code 3: clipped there, ink that is missing does not show
constexpr double kLeastDensity = 0.05;  // of a patch in its channel, to say anything about its ink

// Signal of the paper across, per channel: the mean of the bare strips' baselines, or full scale.
std::array<std::vector<float>, 3> paper_signal(const Strips& strips, const ViewOptions& options) {
  std::vector<const Strip*> bare;
  for (const Strip& strip : strips.strips) {
    if (strip.patch < 0) bare.push_back(&strip);
  }
  std::vector<std::array<std::vector<float>, 3>> bases(bare.size());
  for_each_part(3 * bare.size(), options.threads, [&](std::size_t part) {
    const Strip& strip = *bare[part / 3];
    bases[part / 3][part % 3] =
        baseline(strip.linear[part % 3], strip.from, strip.to, strips.grid.pitch_mm, options.paper);
  });
  std::array<std::vector<float>, 3> paper;
  const auto n = static_cast<std::size_t>(strips.grid.size);
  for (std::size_t c = 0; c < 3; ++c) {
    std::vector<double> sum(n, 0.0);
    std::vector<double> rows(n, 0.0);
    for (std::size_t k = 0; k < bare.size(); ++k) {
      const Strip& strip = *bare[k];
      for (int i = strip.from; i < strip.to; ++i) {
        sum[static_cast<std::size_t>(i)] +=
            strip.rows * static_cast<double>(bases[k][c][static_cast<std::size_t>(i)]);
        rows[static_cast<std::size_t>(i)] += strip.rows;
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
  view.base = baseline(view.value, strip.from, strip.to, strips.grid.pitch_mm,
                       strip.patch < 0 ? options.paper : options.inked);
  view.loss.assign(view.value.size(), 0.0F);
  return view;
}

// Density of signals over paper, in single precision: they are not known better.
Eigen::ArrayXf densities(const float* signals, std::ptrdiff_t count) {
  constexpr float kPerLog = -1 / std::numbers::ln10_v<float>;
  const Eigen::Map<const Eigen::ArrayXf> seen(signals, count);
  return kPerLog * seen.max(static_cast<float>(kLeastSignal)).log();
}

void fill_loss(InkView& view, const Strip& strip) {
  const std::ptrdiff_t count = strip.to - strip.from;
  if (count <= 0) return;
  const Eigen::ArrayXf d = densities(view.value.data() + strip.from, count);
  const Eigen::ArrayXf d0 = densities(view.base.data() + strip.from, count);
  Eigen::Map<Eigen::ArrayXf> loss(view.loss.data() + strip.from, count);
  if (view.ink < 0) {
    loss = d0 - d;
  } else {
    loss = 1 - d / d0.max(static_cast<float>(kLeastDensity));
  }
}

// The channel that an ink has most to itself, among those where it is strong enough to be seen.
int own_channel(const Rgb& own, const Rgb& all) {
  int channel = 0;
  double best = -1;
  for (int c = 0; c < 3; ++c) {
    const auto k = static_cast<std::size_t>(c);
    const double share = own[k] / std::max(all[k], 1e-9) * std::min(1.0, own[k] / 0.3) + 1e-3 * own[k];
    if (share > best) best = share, channel = c;
  }
  return channel;
}

// What the views of a page's strips share.
struct Page {
  const Strips& strips;
  const Chart& chart;
  const Layout& layout;
  bool grey;
  const ViewOptions& options;
  std::array<std::vector<float>, 3> paper;
};

bool holds(const Patch& patch, const std::string& ink) {
  return std::find(patch.inks.begin(), patch.inks.end(), ink) != patch.inks.end();
}

// Densities over paper of a patch's inks in the view's channel, scaled to what it measures there.
std::vector<double> ink_densities(const Page& page, const Patch& patch, int channel, double scale) {
  std::vector<double> out(page.layout.inks.size(), 0.0);
  for (std::size_t j = 0; j < out.size(); ++j) {
    const std::string& name = page.layout.inks[j].name;
    if (!holds(patch, name)) continue;
    const double part =
        page::solid_density(page.layout, {name}, page.grey)[static_cast<std::size_t>(channel)];
    out[j] = std::max(0.0, part) * scale;
  }
  return out;
}

// The views of one strip: of each of its inks in a channel of its own, or of bare paper.
std::vector<InkView> views_of(const Page& page, std::size_t index) {
  const Strip& strip = page.strips.strips[index];
  std::vector<InkView> out;
  if (strip.patch < 0) {
    out.push_back(view_of(page.strips, index, 1, page.paper[1], page.options));
    return out;
  }
  const Patch& patch = page.chart.patches[static_cast<std::size_t>(strip.patch)];
  const Rgb all = page::solid_density(page.layout, patch.inks, page.grey);
  std::array<bool, 3> used{};
  for (std::size_t ink = 0; ink < page.layout.inks.size(); ++ink) {
    const std::string& name = page.layout.inks[ink].name;
    if (!holds(patch, name)) continue;
    const int channel = own_channel(page::solid_density(page.layout, {name}, page.grey), all);
    const auto c = static_cast<std::size_t>(channel);
    if (std::exchange(used[c], true)) continue;
    InkView view = view_of(page.strips, index, channel, page.paper[c], page.options);
    view.ink = static_cast<int>(ink);
    view.single_ink = patch.inks.size() == 1;
    view.coverage = patch.coverage;
    const auto middle = static_cast<std::size_t>((strip.from + strip.to) / 2);
    const double measured = dot_density(static_cast<double>(view.base[middle]), patch.coverage);
    if (measured < kLeastDensity || all[c] < kLeastDensity) continue;
    if (view.base[middle] * page.paper[c][middle] < kBlack) continue;
    view.ink_density = ink_densities(page, patch, channel, measured / all[c]);
    out.push_back(std::move(view));
  }
  return out;
}

// Samples where two heads' ink meets that stand off from each other, ascending.
std::vector<std::size_t> breaks_of(const Grid& grid, const Layout& layout) {
  std::vector<std::size_t> out;
  for (const auto& ends : geometry::stand_offs(layout, geometry::ColumnMap(layout))) {
    const double at = grid.index((ends.left_mm + ends.right_mm) / 2);
    if (at > 0) out.push_back(static_cast<std::size_t>(at));
  }
  return out;
}

// Takes the fringes of tints' screens out of views.
void even_out_tints(const Strips& strips, const Layout& layout, const FringeOptions& options,
                    std::vector<InkView>& views) {
  using Key = std::pair<int, int>;  // patch and channel
  std::map<Key, std::vector<InkView*>> groups;
  for (InkView& view : views) {
    if (view.coverage < 1) groups[{strips.strips[view.strip].patch, view.channel}].push_back(&view);
  }
  if (groups.empty()) return;
  const auto breaks = breaks_of(strips.grid, layout);
  for (const auto& [key, group] : groups) {
    std::vector<TintProfile> profiles;
    for (InkView* view : group) {
      const Strip& strip = strips.strips[view->strip];
      profiles.push_back({view->value, view->base, static_cast<std::size_t>(strip.from),
                          static_cast<std::size_t>(strip.to)});
    }
    if (take_out_fringes(profiles, breaks, strips.grid.pitch_mm, options) == 0) continue;
    for (InkView* view : group) view->evened = true;
  }
}

// What each head prints of the samples.
std::vector<HeadSpan> spans_of(const Grid& grid, const Layout& layout) {
  const geometry::ColumnMap columns(layout);
  const double half_mm = layout.px_mm() / 2;
  std::vector<HeadSpan> out;
  int last = -1;  // head of the column before
  for (int c = columns.printed().first; c <= columns.printed().last; ++c) {
    const auto owner = columns.owner(c);
    if (!owner.nobody()) {
      const std::size_t carriage = layout.heads[static_cast<std::size_t>(owner.head)].carriage;
      const double middle_mm = geometry::drum_x_of_column(layout, c, carriage);
      if (owner.head != last) out.push_back({carriage, grid.index(middle_mm - half_mm), 0});
      out.back().to = grid.index(middle_mm + half_mm);
    }
    last = owner.head;
  }
  return out;
}

// Takes what a pass beside its place draws out of the views; says which carriages have one.
std::vector<bool> even_out_passes(const Strips& strips, const Layout& layout, const ViewOptions& options,
                                  std::vector<InkView>& views) {
  using Key = std::pair<int, int>;  // patch and channel
  std::map<Key, std::vector<InkView*>> by_patch;
  for (InkView& view : views) by_patch[{strips.strips[view.strip].patch, view.channel}].push_back(&view);
  std::vector<std::vector<TintProfile>> groups;
  for (const auto& [key, group] : by_patch) {
    auto& profiles = groups.emplace_back();
    for (InkView* view : group) {
      const Strip& strip = strips.strips[view->strip];
      profiles.push_back({view->value, view->base, static_cast<std::size_t>(strip.from),
                          static_cast<std::size_t>(strip.to)});
    }
  }
  PassCombOptions combs;
  combs.column = layout.px_mm() / strips.grid.pitch_mm;
  combs.pitch = combs.column * layout.interleave.jet_pitch_px;
  auto found = take_out_pass_combs(groups, spans_of(strips.grid, layout), layout.carriages.size(), combs);
  if (std::find(found.begin(), found.end(), true) == found.end()) return found;
  for_each_part(views.size(), options.threads, [&](std::size_t v) {
    const Strip& strip = strips.strips[views[v].strip];
    views[v].base = baseline(views[v].value, strip.from, strip.to, strips.grid.pitch_mm, options.inked);
  });
  return found;
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
  const Page page{strips, chart, layout, grey, options, paper_signal(strips, options)};
  InkViews out;
  std::vector<std::vector<InkView>> by_strip(strips.strips.size());
  for_each_part(by_strip.size(), options.threads, [&](std::size_t s) { by_strip[s] = views_of(page, s); });
  for (auto& views : by_strip) {
    for (InkView& view : views) (view.ink < 0 ? out.paper : out.inked).push_back(std::move(view));
  }
  even_out_tints(strips, layout, options.fringes, out.inked);
  out.pass_beside = even_out_passes(strips, layout, options, out.inked);
  for (auto* views : {&out.inked, &out.paper}) {
    for_each_part(views->size(), options.threads,
                  [&](std::size_t v) { fill_loss((*views)[v], strips.strips[(*views)[v].strip]); });
  }
  return out;
}

}  // namespace scrapetrace::profile
