#include "layout/check_layout.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "base/wording.h"
#include "geometry/column_map.h"
#include "layout/unique_names.h"

namespace scrapetrace::layout {

namespace {

using geometry::ColumnRange;

std::string columns_text(const Layout& layout, int from, int to) {
  const double px = layout.px_mm();
  const std::string columns =
      from == to ? fmt::format("column {}", from) : fmt::format("columns {} to {}", from, to);
  return fmt::format("{} (drum X {:.2f} to {:.2f} mm)", columns, from * px, (to + 1) * px);
}

void check_zones(const Layout& layout, const LayoutPlaces& places, ProblemList& problems) {
  double total = 0;
  for (std::size_t i = 0; i < layout.zones.size(); ++i) {
    const Zone& zone = layout.zones[i];
    total += zone.prior;
    for (std::size_t j = 0; j < i; ++j) {
      const Zone& other = layout.zones[j];
      if (other.surface != zone.surface || other.side != zone.side) continue;
      problems.add(
          places.zones[i],
          fmt::format("zone {} repeats the {} side of {} of zone {}; give each side of a surface one zone.",
                      i + 1, to_string(zone.side), in_quotes(zone.surface), j + 1));
      break;
    }
  }
  if (!layout.zones.empty() && total <= 0) {
    problems.add(places.zones[0], "the prior of every zone is 0; give at least one zone a prior above 0.");
  }
}

void check_angles(const Layout& layout, const LayoutPlaces& places, ProblemList& problems) {
  for (std::size_t i = 0; i < layout.carriages.size(); ++i) {
    for (std::size_t j = 0; j < i; ++j) {
      if (layout.carriages[i].angle_deg != layout.carriages[j].angle_deg) continue;
      problems.add(
          places.carriage_angles[i],
          fmt::format("carriages {} and {} stand at the same angle, {} degrees; the angle orders what "
                      "happens in one pass, so each carriage needs its own.",
                      in_quotes(layout.carriages[j].name), in_quotes(layout.carriages[i].name),
                      layout.carriages[i].angle_deg));
      break;
    }
  }
}

std::string joined(const std::vector<int>& numbers) {
  return fmt::format("{}", fmt::join(numbers, ", "));
}

// Every jet stays over the drum in every pass.
bool check_on_drum(const Layout& layout, std::size_t index, Place place, ProblemList& problems) {
  const Head& head = layout.heads[index];
  int low = 0;
  int high = 0;
  for (int k = 0; k < layout.passes(); ++k) {
    low = std::min(low, layout.shift_of(head.carriage, k));
    high = std::max(high, layout.shift_of(head.carriage, k));
  }
  const int first = head.first_jet_px + low;
  const int last = head.first_jet_px + (head.jets - 1) * layout.interleave.jet_pitch_px + high;
  const int columns = static_cast<int>(std::floor(layout.drum.width_mm / layout.px_mm() + 1e-9));
  if (first >= 0 && last < columns) return true;
  problems.add(place,
               fmt::format("head {} leaves the drum: with its travel it reaches {}, the drum has columns 0 "
                           "to {}; move first_jet_px or take fewer jets.",
                           in_quotes(head.name), columns_text(layout, first, last), columns - 1));
  return false;
}

bool check_long_enough(const Layout& layout, std::size_t index, Place place, ProblemList& problems) {
  const Head& head = layout.heads[index];
  if (!geometry::covered_columns(layout, head).empty()) return true;
  problems.add(place,
               fmt::format("head {} covers no column: its {} jets span less than its carriage travels; "
                           "check jets and shift_px.",
                           in_quotes(head.name), head.jets));
  return false;
}

// A head inside another's columns has nothing of its own to print, and no seam could be drawn.
bool check_not_inside(const Layout& layout, std::size_t index, Place place, ProblemList& problems) {
  const ColumnRange own = geometry::covered_columns(layout, layout.heads[index]);
  for (std::size_t i = 0; i < layout.heads.size(); ++i) {
    const ColumnRange other = geometry::covered_columns(layout, layout.heads[i]);
    const bool same = own.first == other.first && own.last == other.last;
    if (i == index || own.first < other.first || own.last > other.last || (same && i > index)) continue;
    problems.add(
        place, fmt::format("head {} covers {}, all of which head {} covers too; check first_jet_px and jets.",
                           in_quotes(layout.heads[index].name), columns_text(layout, own.first, own.last),
                           in_quotes(layout.heads[i].name)));
    return false;
  }
  return true;
}

void check_holes(const Layout& layout, const LayoutPlaces& places, ProblemList& problems) {
  const geometry::ColumnMap map(layout);
  for (const auto& hole : map.holes()) {
    problems.add(
        places.head_first_jets[hole.right_head],
        fmt::format("no head prints {} between heads {} and {}; bring them {} px closer.",
                    columns_text(layout, hole.from, hole.to), in_quotes(layout.heads[hole.left_head].name),
                    in_quotes(layout.heads[hole.right_head].name), hole.to - hole.from + 1));
  }
}

}  // namespace

void check_parts(const Layout& layout, const LayoutPlaces& places, ProblemList& problems) {
  check_unique("ink", layout.inks, places.ink_names, problems);
  check_unique("carriage", layout.carriages, places.carriage_names, problems);
  check_unique("head", layout.heads, places.head_names, problems);
  check_angles(layout, places, problems);
  check_zones(layout, places, problems);
}

bool check_interleave(const Layout& layout, const LayoutPlaces& places, ProblemList& problems) {
  const auto pass = geometry::pass_of_residue(layout.interleave, 1);
  std::vector<int> never;
  std::vector<int> twice;
  for (std::size_t r = 0; r < pass.size(); ++r) {
    if (pass[r] == -1) never.push_back(static_cast<int>(r));
    if (pass[r] == -2) twice.push_back(static_cast<int>(r));
  }
  if (never.empty() && twice.empty()) return true;
  std::string what = fmt::format("shift_px modulo jet_pitch_px ({}) must give every remainder exactly once;",
                                 layout.interleave.jet_pitch_px);
  if (!never.empty()) what += fmt::format(" never given: {};", joined(never));
  if (!twice.empty()) what += fmt::format(" given more than once: {};", joined(twice));
  problems.add(places.shift_px, what + " mend shift_px or jet_pitch_px.");
  return false;
}

void check_coverage(const Layout& layout, const LayoutPlaces& places, ProblemList& problems) {
  bool ok = true;
  for (std::size_t h = 0; h < layout.heads.size(); ++h) {
    ok = check_on_drum(layout, h, places.head_first_jets[h], problems) && ok;
    ok = check_long_enough(layout, h, places.head_first_jets[h], problems) && ok;
  }
  for (std::size_t h = 0; ok && h < layout.heads.size(); ++h) {
    ok = check_not_inside(layout, h, places.head_first_jets[h], problems);
  }
  if (ok) check_holes(layout, places, problems);
}

}  // namespace scrapetrace::layout
