#include "geometry/column_map.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace scrapetrace::geometry {

namespace {

int floor_mod(int a, int n) {
  return ((a % n) + n) % n;
}

std::pair<int, int> extreme_shifts(const Layout& layout, std::size_t carriage) {
  int low = 0;
  int high = 0;
  for (int k = 0; k < layout.passes(); ++k) {
    const int s = layout.shift_of(carriage, k);
    low = k == 0 ? s : std::min(low, s);
    high = k == 0 ? s : std::max(high, s);
  }
  return {low, high};
}

// Where the left head ends its last column, `last`, and the right head begins its next one.
SeamEnds ends_after(const Layout& layout, int last, std::size_t left_head, std::size_t right_head) {
  const double middle_mm = (last + 1) * layout.px_mm();
  const auto end_mm = [&](std::size_t head) {
    return middle_mm + layout.carriages[layout.heads[head].carriage].offset_mm;
  };
  return {end_mm(left_head), end_mm(right_head)};
}

}  // namespace

ColumnRange covered_columns(const Layout& layout, const Head& head) {
  const auto [low, high] = extreme_shifts(layout, head.carriage);
  return {head.first_jet_px + high,
          head.first_jet_px + (head.jets - 1) * layout.interleave.jet_pitch_px + low};
}

std::vector<int> pass_of_residue(const Interleave& interleave, int travel) {
  const int pitch = interleave.jet_pitch_px;
  std::vector<int> pass(static_cast<std::size_t>(pitch), -1);
  for (std::size_t k = 0; k < interleave.shift_px.size(); ++k) {
    auto& slot = pass[static_cast<std::size_t>(floor_mod(travel * interleave.shift_px[k], pitch))];
    slot = slot == -1 ? static_cast<int>(k) : -2;
  }
  return pass;
}

ColumnMap::ColumnMap(const Layout& layout) {
  const double width_columns = layout.drum.width_mm / layout.px_mm();
  owners_.resize(static_cast<std::size_t>(std::max(0.0, std::floor(width_columns + 1e-9))));

  std::vector<std::size_t> order(layout.heads.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::vector<ColumnRange> own(layout.heads.size());
  for (std::size_t h = 0; h < own.size(); ++h) own[h] = covered_columns(layout, layout.heads[h]);
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return own[a].first != own[b].first ? own[a].first < own[b].first : own[a].last < own[b].last;
  });

  for (std::size_t i = 0; i + 1 < order.size(); ++i) {
    ColumnRange& left = own[order[i]];
    ColumnRange& right = own[order[i + 1]];
    if (right.first <= left.last) {
      const int to = std::min(left.last, right.last);
      const int seam = (right.first + to) / 2;
      seams_.push_back({order[i], order[i + 1], right.first, to, seam});
      left.last = seam;
      right.first = seam + 1;
    } else if (right.first > left.last + 1) {
      holes_.push_back({order[i], order[i + 1], left.last + 1, right.first - 1});
    }
  }

  std::vector<std::vector<int>> passes;
  for (const auto& carriage : layout.carriages) {
    passes.push_back(pass_of_residue(layout.interleave, carriage.travel));
  }
  const int pitch = layout.interleave.jet_pitch_px;
  bool any = false;
  for (std::size_t h = 0; h < own.size(); ++h) {
    const Head& head = layout.heads[h];
    for (int c = std::max(0, own[h].first); c <= std::min(own[h].last, columns() - 1); ++c) {
      const int pass =
          passes[head.carriage][static_cast<std::size_t>(floor_mod(c - head.first_jet_px, pitch))];
      if (pass < 0) continue;
      const int jet = (c - head.first_jet_px - layout.shift_of(head.carriage, pass)) / pitch;
      owners_[static_cast<std::size_t>(c)] = {static_cast<std::int16_t>(h), static_cast<std::int16_t>(pass),
                                              jet};
      printed_.first = any ? std::min(printed_.first, c) : c;
      printed_.last = any ? std::max(printed_.last, c) : c;
      any = true;
    }
  }
}

SeamEnds seam_ends(const Layout& layout, const Seam& seam) {
  return ends_after(layout, seam.seam, seam.left_head, seam.right_head);
}

std::vector<SeamEnds> stand_offs(const Layout& layout, const ColumnMap& map) {
  std::vector<SeamEnds> out;
  for (int c = map.printed().first; c < map.printed().last; ++c) {
    const Owner left = map.owner(c);
    const Owner right = map.owner(c + 1);
    if (left.nobody() || right.nobody() || left.head == right.head) continue;
    const SeamEnds ends =
        ends_after(layout, c, static_cast<std::size_t>(left.head), static_cast<std::size_t>(right.head));
    if (ends.gap_mm() != 0) out.push_back(ends);
  }
  return out;
}

std::vector<int> columns_of_jet(const Layout& layout, const ColumnMap& map, std::size_t head, int jet) {
  std::vector<int> columns;
  const Head& h = layout.heads[head];
  for (int k = 0; k < layout.passes(); ++k) {
    const int c = h.first_jet_px + jet * layout.interleave.jet_pitch_px + layout.shift_of(h.carriage, k);
    const Owner owner = map.owner(c);
    if (owner.head == static_cast<int>(head) && owner.jet == jet && owner.pass == k) columns.push_back(c);
  }
  return columns;
}

}  // namespace scrapetrace::geometry
