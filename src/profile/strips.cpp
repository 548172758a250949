#include "profile/strips.h"

#include <algorithm>
#include <cmath>

#include "base/parallel.h"
#include "base/wide.h"
#include "geometry/frames.h"

namespace scrapetrace::profile {

namespace {

constexpr float kEnoughRows = 0.5F;  // of those that most samples of a strip rest on, for one to end it
constexpr double kLeastSeen = 0.1;   // of a strip's rows, for a sample not to count as bridged

struct Band {
  int patch;
  Interval y_mm;
  Interval x_mm;
};

// A patch gives two strips at least, where they are not too short: what differs between them is noise.
void split(std::vector<Band>& bands, int patch, Interval y, Interval x, double length_mm) {
  constexpr double kShortest_mm = 3;
  const int least = patch >= 0 && y.to_mm - y.from_mm > 2 * kShortest_mm ? 2 : 1;
  const int n = std::max(least, static_cast<int>(std::lround((y.to_mm - y.from_mm) / length_mm)));
  for (int k = 0; k < n; ++k) {
    const double step = (y.to_mm - y.from_mm) / n;
    bands.push_back({patch, {y.from_mm + k * step, y.from_mm + (k + 1) * step}, x});
  }
}

// Stretches of the sheet's length that no patch touches.
std::vector<Interval> bare_lengths(const Chart& chart) {
  std::vector<Interval> inked;
  for (const Patch& p : chart.patches) inked.push_back({p.y_mm[0], p.y_mm[1]});
  std::sort(inked.begin(), inked.end(),
            [](const Interval& a, const Interval& b) { return a.from_mm < b.from_mm; });
  std::vector<Interval> bare;
  double at = 0;
  for (const Interval& i : inked) {
    if (i.from_mm > at) bare.push_back({at, i.from_mm});
    at = std::max(at, i.to_mm);
  }
  if (chart.sheet_mm[1] > at) bare.push_back({at, chart.sheet_mm[1]});
  return bare;
}

// What is left of a patch's width. A coder smears the step of a side that ink is missing along too, but that
// is little beside what is missing.
Interval inset(const page::Placement& placement, std::size_t patch, double blur_mm,
               const StripOptions& options) {
  const auto kept_away = [&](std::size_t side) {
    const auto& touched = placement.touched_sides;
    const double smear_mm = patch < touched.size() && touched[patch][side] ? 0 : options.smear_mm;
    return std::max(options.inset_x_mm, smear_mm) + 3 * blur_mm;
  };
  const auto& x_mm = placement.chart.patches[patch].x_mm;
  return {x_mm[0] + kept_away(0), x_mm[1] - kept_away(1)};
}

std::vector<Band> make_bands(const page::Placement& placement, double blur_mm, const StripOptions& options) {
  const Chart& chart = placement.chart;
  std::vector<Band> bands;
  Interval printed_x{1e300, -1e300};
  for (std::size_t p = 0; p < chart.patches.size(); ++p) {
    const Patch& patch = chart.patches[p];
    printed_x = {std::min(printed_x.from_mm, patch.x_mm[0]), std::max(printed_x.to_mm, patch.x_mm[1])};
    const Interval y{patch.y_mm[0] + options.inset_y_mm, patch.y_mm[1] - options.inset_y_mm};
    const Interval x = inset(placement, p, blur_mm, options);
    if (y.to_mm - y.from_mm < 1 || x.to_mm - x.from_mm < 2) continue;
    split(bands, static_cast<int>(p), y, x, options.length_mm);
  }
  for (const Interval& bare : bare_lengths(chart)) {
    const Interval y{bare.from_mm + options.inset_y_mm, bare.to_mm - options.inset_y_mm};
    if (y.to_mm - y.from_mm >= options.least_white_mm) split(bands, -1, y, printed_x, options.length_mm);
  }
  std::stable_sort(bands.begin(), bands.end(),
                   [](const Band& a, const Band& b) { return a.y_mm.from_mm < b.y_mm.from_mm; });
  return bands;
}

void bridge(std::vector<std::uint16_t>& row, const std::vector<MaskedColumns>& masked) {
  const int last = static_cast<int>(row.size()) - 1;
  for (const MaskedColumns& m : masked) {
    const int a = std::max(0, m.from - 1);
    const int b = std::min(last, m.to);
    for (int u = a + 1; u < b; ++u) {
      const float t = static_cast<float>(u - a) / static_cast<float>(b - a);
      const auto left = static_cast<float>(row[static_cast<std::size_t>(a)]);
      const auto right = static_cast<float>(row[static_cast<std::size_t>(b)]);
      row[static_cast<std::size_t>(u)] = static_cast<std::uint16_t>(std::lround(left * (1 - t) + right * t));
    }
  }
}

SCRAPETRACE_WIDE void copy_forwards(const std::uint16_t* in, std::size_t count, float* out) {
  for (std::size_t i = 0; i < count; ++i) out[i] = static_cast<float>(in[i]);
}

// From `in` leftwards.
SCRAPETRACE_WIDE void copy_backwards(const std::uint16_t* in, std::ptrdiff_t count, float* out) {
  for (std::ptrdiff_t i = 0; i < count; ++i) out[i] = static_cast<float>(in[-i]);
}

// out[i] += weight[i] * (taps on in[i], in[i + step], in[i + 2 step] and in[i + 3 step]).
SCRAPETRACE_WIDE void add_tapped(const float* in, std::ptrdiff_t step, const std::array<float, 4>& taps,
                                 const float* weight, std::size_t count, float* out) {
  const auto [a, b, c, d] = taps;
  const float* in_b = in + step;
  const float* in_c = in_b + step;
  const float* in_d = in_c + step;
  for (std::size_t i = 0; i < count; ++i)
    out[i] += weight[i] * (a * in[i] + b * in_b[i] + c * in_c[i] + d * in_d[i]);
}

class Extractor {
 public:
  Extractor(const PageRaster& raster, const page::Placement& placement, const Layout& layout,
            const std::vector<MaskedColumns>& masked)
      : raster_(raster),
        map_(placement.map),
        inverse_(page::sheet_from_raster(placement.map)),
        sheet_from_drum_(layout),
        masked_(masked) {}

  [[nodiscard]] Grid grid(const std::vector<Band>& bands) const {
    double low = 1e300;
    double high = -1e300;
    for (const Band& b : bands) {
      for (double x : {b.x_mm.from_mm, b.x_mm.to_mm}) {
        low = std::min(low, sheet_from_drum_.drum_x(x));
        high = std::max(high, sheet_from_drum_.drum_x(x));
      }
    }
    const double pitch = std::abs(inverse_.p[1] / sheet_from_drum_.scale);
    return {low, pitch, std::max(0, static_cast<int>(std::floor((high - low) / pitch)) + 1)};
  }

  Strip extract(const Band& band, const Grid& grid) {
    Strip strip;
    strip.patch = band.patch;
    strip.y_mm = band.y_mm;
    for (auto& channel : strip.linear) channel.assign(static_cast<std::size_t>(grid.size), 0.0F);
    weight_.assign(static_cast<std::size_t>(grid.size), 0.0F);
    const auto [first, last] = blocks_of(band, grid);
    for (int b = first; b < last; ++b) add_block(band, grid, b, strip);
    finish(band, grid, strip);
    return strip;
  }

 private:
  // Blocks [first, last) that a band meets, with one more at either end.
  [[nodiscard]] std::array<int, 2> blocks_of(const Band& band, const Grid& grid) const {
    double from = 1e300;
    double to = -1e300;
    for (const double i : {0.0, static_cast<double>(grid.size)}) {
      for (const double y_mm : {band.y_mm.from_mm, band.y_mm.to_mm}) {
        const double block = map_.v(sheet_from_drum_.sheet_x(grid.at(i)), y_mm) / raster_.rows_per_block;
        from = std::min(from, block);
        to = std::max(to, block);
      }
    }
    const auto block = [&](double at) { return std::clamp(at, 0.0, static_cast<double>(raster_.blocks())); };
    return {static_cast<int>(block(std::floor(from) - 1)), static_cast<int>(block(std::ceil(to) + 1))};
  }

  // Samples of the grid whose sheet y, in this block, lies in the band: y is linear in the sample index.
  void add_block(const Band& band, const Grid& grid, int block, Strip& strip) {
    const double v = block * raster_.rows_per_block + 0.5 * raster_.rows_in(block);
    const double half_block_mm = 0.5 * raster_.rows_per_block * std::abs(inverse_.q[2]);
    const auto u_of = [&](double i) {
      return (sheet_from_drum_.sheet_x(grid.at(i)) - inverse_.p[0] - inverse_.p[2] * v) / inverse_.p[1];
    };
    const double u0 = u_of(0);
    const double step = u_of(1) - u0;  // +1 or -1 up to rounding: the grid's pitch is the pixel's
    const double y0 = inverse_.y(u0, v);
    const double slope = inverse_.q[1] * step;
    double from = 0;
    double to = grid.size;
    const double y_low =
        band.y_mm.from_mm + std::min(half_block_mm, 0.25 * (band.y_mm.to_mm - band.y_mm.from_mm));
    const double y_high =
        band.y_mm.to_mm - std::min(half_block_mm, 0.25 * (band.y_mm.to_mm - band.y_mm.from_mm));
    if (std::abs(slope) * grid.size < 1e-9) {
      if (y0 < y_low || y0 > y_high) return;
    } else {
      const double a = (y_low - y0) / slope;
      const double b = (y_high - y0) / slope;
      from = std::max(from, std::ceil(std::min(a, b)));
      to = std::min(to, std::floor(std::max(a, b)) + 1);
    }
    const int sign = step > 0 ? 1 : -1;
    // Taps around u - 0.5 (pixel centres at half-integers); keep all four inside the row.
    const double position = u0 - 0.5;
    const auto base = static_cast<int>(std::floor(position));
    std::array<float, 4> taps{};
    const auto whole = cubic_taps(position - base);
    std::transform(whole.begin(), whole.end(), taps.begin(),
                   [](double tap) { return static_cast<float>(tap / 65535); });
    if (sign > 0) {
      from = std::max(from, 1.0 - base);
      to = std::min(to, static_cast<double>(raster_.width_px) - 2 - base);
    } else {
      from = std::max(from, base + 3.0 - raster_.width_px);
      to = std::min(to, static_cast<double>(base));
    }
    if (from >= to) return;
    const auto first = static_cast<int>(from);
    const auto last = static_cast<int>(to);
    const auto rows = static_cast<float>(raster_.rows_in(block));
    weigh_samples(first, last, base, sign, rows);
    strip.phases.add(sign * (position - base), rows);
    const auto count = static_cast<std::size_t>(last - first);
    pixels_.resize(count + 3);
    for (std::size_t c = 0; c < 3; ++c) {
      if (raster_.grey && c > 0) break;
      const std::uint16_t* in =
          row_of(block, static_cast<int>(c)) + base + static_cast<std::ptrdiff_t>(sign) * first - 1;
      float* out = strip.linear[c].data() + first;
      const float* weight = sample_weight_.data() + first;
      // In the order of the samples: the taps go against it where the grid runs against the pixels.
      if (sign > 0) {
        copy_forwards(in, pixels_.size(), pixels_.data());
        add_tapped(pixels_.data(), 1, taps, weight, count, out);
      } else {
        copy_backwards(in + 3, static_cast<std::ptrdiff_t>(pixels_.size()), pixels_.data());
        add_tapped(pixels_.data() + 3, -1, taps, weight, count, out);
      }
    }
    for (int i = first; i < last; ++i)
      weight_[static_cast<std::size_t>(i)] += sample_weight_[static_cast<std::size_t>(i)];
  }

  // Rows that each sample of the block counts for: next to nothing where its taps meet a masked column, so
  // that the bridge over the mask shows only where no other row of the strip sees the place.
  void weigh_samples(int first, int last, int base, int sign, float rows) {
    constexpr float kBridge = 1e-3F;
    sample_weight_.assign(weight_.size(), rows);
    for (const MaskedColumns& m : masked_) {
      for (int u = m.from - 2; u <= m.to + 1; ++u) {
        const int i = (u - base) * sign;
        if (i >= first && i < last) sample_weight_[static_cast<std::size_t>(i)] = kBridge * rows;
      }
    }
  }

  // The row itself, or with the masked columns bridged.
  const std::uint16_t* row_of(int block, int channel) {
    const std::uint16_t* in = raster_.row(block, channel);
    if (masked_.empty()) return in;
    row_.assign(in, in + raster_.width_px);
    bridge(row_, masked_);
    return row_.data();
  }

  // The image's side cuts a skewed band aslant: samples that few of its rows show are noise.
  void leave_out_thin_ends(Strip& strip) const {
    if (strip.from >= strip.to) return;
    const float enough =
        kEnoughRows * *std::max_element(weight_.begin() + strip.from, weight_.begin() + strip.to);
    const auto thin = [&](int i) { return weight_[static_cast<std::size_t>(i)] <= enough; };
    while (strip.from < strip.to && thin(strip.from)) ++strip.from;
    while (strip.to > strip.from && thin(strip.to - 1)) --strip.to;
  }

  void finish(const Band& band, const Grid& grid, Strip& strip) {
    const double a = grid.index(sheet_from_drum_.drum_x(band.x_mm.from_mm));
    const double b = grid.index(sheet_from_drum_.drum_x(band.x_mm.to_mm));
    strip.from = std::max(0, static_cast<int>(std::ceil(std::min(a, b))));
    strip.to = std::min(grid.size, static_cast<int>(std::floor(std::max(a, b))) + 1);
    leave_out_thin_ends(strip);
    // A sample without rows inside means that the band leaves the image there: keep the longest stretch.
    int best_from = strip.from;
    int best_to = strip.from;
    for (int i = strip.from; i < strip.to;) {
      int j = i;
      while (j < strip.to && weight_[static_cast<std::size_t>(j)] > 0) ++j;
      if (j - i > best_to - best_from) best_from = i, best_to = j;
      i = std::max(j, i) + 1;
    }
    strip.from = best_from;
    strip.to = best_to;
    for (int i = strip.from; i < strip.to; ++i) {
      const auto k = static_cast<std::size_t>(i);
      strip.linear[0][k] /= weight_[k];
      if (raster_.grey) {
        strip.linear[1][k] = strip.linear[2][k] = strip.linear[0][k];
      } else {
        strip.linear[1][k] /= weight_[k];
        strip.linear[2][k] /= weight_[k];
      }
    }
    if (strip.from >= strip.to) return;
    strip.rows = *std::max_element(weight_.begin() + strip.from, weight_.begin() + strip.to);
    if (masked_.empty()) return;
    strip.bridged.assign(weight_.size(), false);
    for (std::size_t i = 0; i < weight_.size(); ++i)
      strip.bridged[i] = static_cast<double>(weight_[i]) < kLeastSeen * strip.rows;
  }

  const PageRaster& raster_;
  page::RasterFromSheet map_;
  page::SheetFromRaster inverse_;
  geometry::SheetFromDrum sheet_from_drum_;
  const std::vector<MaskedColumns>& masked_;
  std::vector<std::uint16_t> row_;
  std::vector<float> pixels_;  // of a row, those that samples rest on
  std::vector<float> weight_;
  std::vector<float> sample_weight_;
};

}  // namespace

Phases phases_of(const Strips& strips) {
  Phases out;
  for (const Strip& strip : strips.strips) out.add(strip.phases);
  return out;
}

Strips extract_strips(const PageRaster& raster, const page::Placement& placement, const Layout& layout,
                      const std::vector<MaskedColumns>& masked, const StripOptions& options) {
  const double px_mm = 1 / std::abs(placement.map.ux);
  const auto bands = make_bands(placement, placement.blur_px * px_mm, options);
  Strips out;
  if (bands.empty()) return out;
  out.grid = Extractor(raster, placement, layout, masked).grid(bands);
  std::vector<Strip> strips(bands.size());
  for_each_part(bands.size(), options.threads, [&](std::size_t b) {
    strips[b] = Extractor(raster, placement, layout, masked).extract(bands[b], out.grid);
  });
  for (Strip& strip : strips) {
    if (strip.to - strip.from >= 16) out.strips.push_back(std::move(strip));
  }
  return out;
}

}  // namespace scrapetrace::profile
