#include "press/row_inks.h"

#include <algorithm>
#include <map>

#include "geometry/frames.h"
#include "press/kept_ink.h"

namespace scrapetrace::press {

namespace {

bool inside(double at, const std::array<double, 2>& interval) {
  return at >= interval[0] && at < interval[1];
}
bool inside(double at, const YSpan& span) {
  return at >= span.from_mm && at < span.to_mm;
}

// Which patches and causes are active at one y.
using Active = std::vector<bool>;

class Planner {
 public:
  Planner(const Layout& layout, const Chart& chart, const Causes& causes, const PrintOptions& print,
          const geometry::ColumnMap& map, const Strips& strips)
      : layout_(layout), chart_(chart), causes_(causes), map_(map), strips_(strips) {
    for (std::size_t i = 0; i < layout.inks.size(); ++i)
      laid_.push_back(laid_ink(layout, map, causes.jets, print, i));
  }

  [[nodiscard]] Active active_at(double y_mm) const {
    Active active;
    for (const auto& p : chart_.patches) active.push_back(inside(y_mm, p.y_mm));
    for (const auto& r : causes_.residues) active.push_back(inside(y_mm, r.y));
    for (const auto& s : causes_.scratches) active.push_back(inside(y_mm, s.y));
    for (const auto& h : causes_.hazes) active.push_back(inside(y_mm, h.y));
    return active;
  }

  [[nodiscard]] RowInks plan(const Active& active) const {
    RowInks row;
    std::size_t at = chart_.patches.size();
    std::vector<double> kept(static_cast<std::size_t>(map_.columns()), 1.0);
    for (const auto& r : causes_.residues) {
      if (active[at++]) scrape(layout_, map_, r, kept);
    }
    for (const auto& s : causes_.scratches) {
      if (active[at++]) scratch(layout_, map_, s, kept);
    }
    for (std::size_t i = 0; i < layout_.inks.size(); ++i) {
      InkRow ink = ink_row(i, active, kept);
      if (ink.last >= ink.first) row.inks.push_back(std::move(ink));
    }
    row.haze = haze_row(active, at);
    return row;
  }

 private:
  [[nodiscard]] std::vector<const Patch*> patches_of(std::size_t ink, const Active& active) const {
    std::vector<const Patch*> patches;
    for (std::size_t p = 0; p < chart_.patches.size(); ++p) {
      const auto& inks = chart_.patches[p].inks;
      if (active[p] && std::find(inks.begin(), inks.end(), layout_.inks[ink].name) != inks.end())
        patches.push_back(&chart_.patches[p]);
    }
    return patches;
  }

  // Where patches overlap in the same ink, the largest coverage counts.
  static double coverage_at(const std::vector<const Patch*>& patches, double x_sheet_mm) {
    double coverage = 0;
    for (const Patch* patch : patches) {
      if (inside(x_sheet_mm, patch->x_mm)) coverage = std::max(coverage, patch->coverage);
    }
    return coverage;
  }

  [[nodiscard]] InkRow ink_row(std::size_t ink, const Active& active, const std::vector<double>& kept) const {
    InkRow row;
    row.ink = ink;
    row.first = strips_.count();
    row.amount.assign(static_cast<std::size_t>(strips_.count()), 0.0F);
    row.coverage.assign(static_cast<std::size_t>(strips_.count()), 0.0F);
    const auto patches = patches_of(ink, active);
    for (const auto& lay : strips_.lays) {
      const double coverage = coverage_at(patches, lay.x_sheet_mm);
      if (coverage <= 0) continue;
      const auto column = static_cast<std::size_t>(lay.column);
      const auto strip = static_cast<std::size_t>(lay.strip);
      row.amount[strip] += static_cast<float>(laid_[ink][column] * kept[column]);
      row.coverage[strip] = std::max(row.coverage[strip], static_cast<float>(coverage));
      row.screened = row.screened || coverage < 1;
      row.first = std::min(row.first, lay.strip);
      row.last = std::max(row.last, lay.strip);
    }
    return row;
  }

  [[nodiscard]] std::vector<float> haze_row(const Active& active, std::size_t at) const {
    const geometry::SheetFromDrum sheet_from_drum(layout_);
    std::vector<float> density;
    for (const auto& haze : causes_.hazes) {
      if (!active[at++]) continue;
      density.resize(static_cast<std::size_t>(strips_.count()), 0.0F);
      for (std::size_t i = 0; i < density.size(); ++i) {
        const double x_sheet = (strips_.edges_mm[i] + strips_.edges_mm[i + 1]) / 2;
        density[i] += static_cast<float>(haze_density(haze, sheet_from_drum.drum_x(x_sheet)));
      }
    }
    return density;
  }

  const Layout& layout_;
  const Chart& chart_;
  const Causes& causes_;
  const geometry::ColumnMap& map_;
  const Strips& strips_;
  std::vector<std::vector<double>> laid_;  // per ink, per column
};

}  // namespace

RowPlan::RowPlan(const Layout& layout, const Chart& chart, const Causes& causes, const PrintOptions& print,
                 const geometry::ColumnMap& map, const Strips& strips, int first_row, int last_row)
    : first_row_(first_row) {
  const Planner planner(layout, chart, causes, print, map, strips);
  const double row_mm = 25.4 / layout.raster.process_dpi;
  std::map<Active, std::uint32_t> known;
  for (int r = first_row; r <= last_row; ++r) {
    Active active = planner.active_at((r + 0.5) * row_mm);
    const auto [it, fresh] = known.try_emplace(std::move(active), static_cast<std::uint32_t>(kinds_.size()));
    if (fresh) kinds_.push_back(planner.plan(it->first));
    kind_of_row_.push_back(it->second);
  }
}

const RowInks& RowPlan::row(int r) const {
  const int i = std::clamp(r - first_row_, 0, static_cast<int>(kind_of_row_.size()) - 1);
  return kinds_[kind_of_row_[static_cast<std::size_t>(i)]];
}

}  // namespace scrapetrace::press
