#include "page/find_sheet.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "base/robust.h"

namespace scrapetrace::page {

namespace {

constexpr float kBedStep = 0.015F;   // linear, between bed and paper
constexpr double kCluster_mm = 0.8;  // scatter of crossings on one edge, which the coarse skew bends
constexpr double kLeastShare = 0.6;  // of the lines that cross a sheet's side
constexpr int kFewestLines = 20;
constexpr double kFewPaper = 0.02;  // of the sheet's area

using Colour = std::array<float, 3>;

float difference(const Colour& a, const Colour& b) {
  float largest = 0;
  for (std::size_t c = 0; c < 3; ++c) largest = std::max(largest, std::abs(a[c] - b[c]));
  return largest;
}

bool looks_like_paper(const Colour& colour) {
  const auto [low, high] = std::minmax_element(colour.begin(), colour.end());
  return *low > 0.35F && *high < 1.4F * *low;
}

// The coarse map as seen from one side of the image: line n, depth k.
class Walk {
 public:
  Walk(const CoarseMap& coarse, bool across, bool from_far_end)
      : coarse_(coarse), across_(across), far_(from_far_end) {}
  [[nodiscard]] int lines() const { return across_ ? coarse_.height : coarse_.width; }
  [[nodiscard]] int depth() const { return across_ ? coarse_.width : coarse_.height; }
  [[nodiscard]] const Colour& at(int line, int k) const {
    const int inward = far_ ? depth() - 1 - k : k;
    return across_ ? coarse_.at(inward, line) : coarse_.at(line, inward);
  }
  // Raster position at depth `k` (cells from the side) in the middle of a line.
  [[nodiscard]] std::array<double, 2> place(int line, double k) const {
    const double inward = far_ ? depth() - k : k;
    return across_ ? std::array{inward * coarse_.px_per_cell_u, (line + 0.5) * coarse_.px_per_cell_v}
                   : std::array{(line + 0.5) * coarse_.px_per_cell_u, inward * coarse_.px_per_cell_v};
  }

 private:
  const CoarseMap& coarse_;
  bool across_;
  bool far_;
};

// The depth at which a line leaves the colour of the image's edge, if it then meets paper.
std::optional<double> bed_to_paper(const Walk& walk, int line) {
  Colour sum = walk.at(line, 0);
  for (int k = 1; k + 2 < walk.depth(); ++k) {
    Colour bed = sum;
    for (float& value : bed) value /= static_cast<float>(k);
    const Colour& here = walk.at(line, k);
    if (difference(here, bed) > kBedStep) {
      const Colour& inside = walk.at(line, k + 1);
      // A speck or a scanner line ends after a cell or two.
      if (difference(inside, bed) < kBedStep || difference(walk.at(line, k + 2), bed) < kBedStep)
        return std::nullopt;
      if (!looks_like_paper(inside)) return std::nullopt;
      const float share = difference(here, bed) / difference(inside, bed);
      return k + 1 - static_cast<double>(std::min(share, 1.0F));
    }
    for (std::size_t c = 0; c < 3; ++c) sum[c] += here[c];
  }
  return std::nullopt;
}

struct SideCrossing {
  double across_mm;  // where the line crosses the edge
  double along_mm;
};

struct SideLine {
  double at_mm = 0;
  std::vector<SideCrossing> crossings;
};

// The densest cluster of crossings.
std::optional<SideLine> densest(std::vector<SideCrossing> crossings) {
  std::sort(crossings.begin(), crossings.end(),
            [](const SideCrossing& a, const SideCrossing& b) { return a.across_mm < b.across_mm; });
  std::size_t best_from = 0;
  std::size_t best_to = 0;
  for (std::size_t from = 0, to = 0; from < crossings.size(); ++from) {
    while (to < crossings.size() && crossings[to].across_mm - crossings[from].across_mm <= kCluster_mm) ++to;
    if (to - from > best_to - best_from) best_from = from, best_to = to;
  }
  if (best_to - best_from < kFewestLines) return std::nullopt;
  SideLine edge;
  edge.crossings.assign(crossings.begin() + static_cast<std::ptrdiff_t>(best_from),
                        crossings.begin() + static_cast<std::ptrdiff_t>(best_to));
  edge.at_mm = edge.crossings[edge.crossings.size() / 2].across_mm;
  return edge;
}

std::optional<SideLine> find_edge(const Walk& walk, const RasterFromSheet& raster_from_upright,
                                  std::size_t axis) {
  std::vector<SideCrossing> crossings;
  for (int line = 0; line < walk.lines(); ++line) {
    const auto depth = bed_to_paper(walk, line);
    if (!depth) continue;
    const auto [u, v] = walk.place(line, *depth);
    const auto upright = raster_from_upright.sheet(u, v);
    crossings.push_back({upright[axis], upright[1 - axis]});
  }
  return densest(std::move(crossings));
}

// Of the lines for which the edge lies inside the image, the share that met it there.
double share_of_lines(const Walk& walk, const RasterFromSheet& raster_from_upright, std::size_t axis,
                      const SideLine& edge, const std::array<double, 2>& along_mm) {
  int crossed = 0;
  int seen = 0;
  for (int line = 0; line < walk.lines(); ++line) {
    // At least one cell inside: otherwise there is no bed to see.
    const auto [u, v] = walk.place(line, 1.0);
    const auto border = raster_from_upright.sheet(u, v);
    const auto [far_u, far_v] = walk.place(line, walk.depth());
    const double inward = raster_from_upright.sheet(far_u, far_v)[axis] > border[axis] ? 1 : -1;
    if (border[1 - axis] < along_mm[0] || border[1 - axis] > along_mm[1]) continue;
    if ((edge.at_mm - border[axis]) * inward > 0) ++crossed;
  }
  for (const SideCrossing& c : edge.crossings) {
    if (c.along_mm >= along_mm[0] && c.along_mm <= along_mm[1]) ++seen;
  }
  return crossed < kFewestLines ? 0 : static_cast<double>(seen) / crossed;
}

}  // namespace

FoundSheet find_sheet(const CoarseMap& coarse, const RasterFromSheet& raster_from_upright) {
  const double middle_u = 0.5 * coarse.width * coarse.px_per_cell_u;
  const double middle_v = 0.5 * coarse.height * coarse.px_per_cell_v;
  FoundSheet sheet;
  for (std::size_t end = 0; end < 2; ++end) {
    sheet.x_mm[end] = raster_from_upright.sheet(2 * middle_u * static_cast<double>(end), middle_v)[0];
    sheet.y_mm[end] = raster_from_upright.sheet(middle_u, 2 * middle_v * static_cast<double>(end))[1];
  }
  std::array<std::array<std::optional<SideLine>, 2>, 2> edges;  // [axis][end]
  std::array<std::array<double, 2>, 2> extent = {sheet.x_mm, sheet.y_mm};
  for (std::size_t axis = 0; axis < 2; ++axis) {
    for (std::size_t end = 0; end < 2; ++end) {
      edges[axis][end] = find_edge(Walk(coarse, axis == 0, end == 1), raster_from_upright, axis);
      if (edges[axis][end]) extent[axis][end] = edges[axis][end]->at_mm;
    }
  }
  for (std::size_t axis = 0; axis < 2; ++axis) {
    for (std::size_t end = 0; end < 2; ++end) {
      const auto& edge = edges[axis][end];
      if (!edge) continue;
      const Walk walk(coarse, axis == 0, end == 1);
      if (share_of_lines(walk, raster_from_upright, axis, *edge, extent[1 - axis]) < kLeastShare) continue;
      (axis == 0 ? sheet.x_mm : sheet.y_mm)[end] = edge->at_mm;
      if (axis == 0) sheet.x_seen[end] = true;
    }
  }
  return sheet;
}

std::optional<Rgb> paper_colour(const UprightMap& map, const FoundSheet& sheet) {
  constexpr int kBins = 110;  // of 0.01 in the mean of the channels
  constexpr double kInset_mm = 1.5;
  std::array<int, kBins> count{};
  std::vector<Colour> bright;
  int cells = 0;
  for (int j = 0; j < map.height; ++j) {
    const double y = map.y_mm(j + 0.5);
    if (y < sheet.y_mm[0] + kInset_mm || y > sheet.y_mm[1] - kInset_mm) continue;
    for (int i = 0; i < map.width; ++i) {
      const double x = map.x_mm(i + 0.5);
      if (x < sheet.x_mm[0] + kInset_mm || x > sheet.x_mm[1] - kInset_mm || map.at(i, j)[0] < 0) continue;
      ++cells;
      if (looks_like_paper(map.at(i, j))) bright.push_back(map.at(i, j));
    }
  }
  const auto bin = [](const Colour& c) {
    return std::min(kBins - 1, static_cast<int>((c[0] + c[1] + c[2]) / 0.03F));
  };
  for (const Colour& c : bright) ++count[static_cast<std::size_t>(bin(c))];
  for (std::size_t k = kBins - 2; k > 0; --k) {
    const int here = count[k - 1] + count[k] + count[k + 1];
    if (count[k] == 0 || here < kFewPaper * cells || count[k] < count[k - 1] || count[k] < count[k + 1])
      continue;
    Rgb sum{};
    double n = 0;
    for (const Colour& c : bright) {
      if (std::abs(bin(c) - static_cast<int>(k)) > 2) continue;
      for (std::size_t channel = 0; channel < 3; ++channel) sum[channel] += static_cast<double>(c[channel]);
      n += 1;
    }
    for (double& value : sum) value /= n;
    return sum;
  }
  return std::nullopt;
}

}  // namespace scrapetrace::page
