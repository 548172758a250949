#include "testpage/plan_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <optional>

#include "tags/tag_pattern.h"

namespace scrapetrace::testpage {

namespace {

constexpr double kWhite = 0.25;      // beside a tag, relative to its size: two cells
constexpr double kTagPitch_mm = 60;  // approximate spacing of tags along an edge
constexpr double kGap_mm = 5;        // bare paper between bands
constexpr double kLeastBand_mm = 9;
constexpr double kLeastSingle_mm = 14;  // below, overprints are dropped in favour of single inks
constexpr double kBlock_mm = 12;        // width of the dark block
constexpr double kLongSheet_mm = 350;   // from here on two rows of tags between the bands
constexpr double kLeastPrint_mm = 60;   // between left and right end

using Inks = std::vector<std::string>;

Problem problem(std::string what) {
  return {"", 0, 0, std::move(what)};
}

// Rounded for files and people.
double rounded(double mm) {
  return std::round(mm * 100) / 100;
}

// Overprints of neighbours first, so that a short page shows every ink in some overprint.
std::vector<Inks> overprints(const Layout& layout) {
  const Inks dark = tags::dark_inks(layout);
  Inks coloured;
  for (const Ink& ink : layout.inks) {
    if (dark.size() > 1 || ink.name != dark.front()) coloured.push_back(ink.name);
  }
  std::vector<Inks> out;
  const std::size_t n = coloured.size();
  for (std::size_t step = 1; 2 * step <= n; ++step) {
    for (std::size_t i = 0; i < n; ++i) {
      if (2 * step == n && i >= step) break;
      out.push_back({coloured[i], coloured[(i + step) % n]});
    }
  }
  if (n >= 3) out.push_back({coloured[0], coloured[1], coloured[2]});
  return out;
}

// Tag ids start at a value that depends on machine and sheet, so that pages are not confused.
int first_id(const Layout& layout, const std::array<double, 2>& sheet_mm, int tags) {
  std::uint64_t hash = 14695981039346656037ULL;  // FNV-1a
  const std::string words = fmt::format("{} {:.2f} {:.2f}", layout.name, sheet_mm[0], sheet_mm[1]);
  for (const char c : words) hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
  return static_cast<int>(hash % static_cast<std::uint64_t>(tags::count() - tags + 1));
}

std::vector<double> spread(double from, double to, int count) {
  std::vector<double> out;
  for (int i = 0; i < count; ++i) out.push_back(rounded(from + (to - from) * i / (count - 1)));
  return out;
}

class Planner {
 public:
  Planner(const Layout& layout, const LayoutDescription& machine, const PageOptions& options)
      : layout_(layout), options_(options) {
    const auto& printed = machine.printed_sheet_mm;
    plan_.print_x_mm = {
        std::ceil(10 * std::max(options.margin_mm, printed.from_mm)) / 10,
        std::floor(10 * std::min(options.sheet_mm[0] - options.margin_mm, printed.to_mm)) / 10};
    ends_ = {plan_.print_x_mm[0] + options.tag_mm / 2, plan_.print_x_mm[1] - options.tag_mm / 2};
  }

  Result<PagePlan> plan() {
    if (auto wrong = expect()) return *wrong;
    const bool is_long = options_.sheet_mm[1] >= kLongSheet_mm;
    const std::size_t between = is_long ? 2 : 1;
    const double row = row_height_mm(options_.tag_mm);
    const double from = options_.margin_mm - kWhite * options_.tag_mm + 2 * row;
    const double to = options_.sheet_mm[1] - options_.margin_mm + kWhite * options_.tag_mm - row;
    const double room = to - from - static_cast<double>(between) * row;
    const auto bands = choose_bands(room, between);
    if (!bands) {
      return problem(
          fmt::format("the sheet is {:g} mm long; {} inks need at least {:.0f} mm: give a longer sheet",
                      options_.sheet_mm[1], layout_.inks.size(),
                      options_.sheet_mm[1] + needed(layout_.inks.size(), between) - room));
    }
    edge_row(from - 1.5 * row);
    end_row(from - 0.5 * row);
    lay_bands(*bands, from, to, between);
    edge_row(to + 0.5 * row);
    name_all();
    return std::move(plan_);
  }

 private:
  [[nodiscard]] std::optional<Problem> expect() const {
    if (!(options_.margin_mm >= 0 && options_.margin_mm <= 30))
      return problem(fmt::format("the margin is {:g} mm; allowed is 0 to 30", options_.margin_mm));
    if (!(options_.tag_mm >= 4 && options_.tag_mm <= 20))
      return problem(fmt::format("the tags are {:g} mm wide; allowed is 4 to 20", options_.tag_mm));
    for (const double side : options_.sheet_mm) {
      if (!(side >= 80 && side <= 2000))
        return problem(fmt::format("the sheet is {:g} x {:g} mm; each side may be 80 to 2000",
                                   options_.sheet_mm[0], options_.sheet_mm[1]));
    }
    const double width = plan_.print_x_mm[1] - plan_.print_x_mm[0];
    if (width >= kLeastPrint_mm) return std::nullopt;
    return problem(fmt::format(
        "only {:.1f} mm of the sheet's width can be printed on, {:.0f} are needed: check the sheet's size, "
        "the margin, and sheet_left_on_drum_mm of the layout",
        std::max(0.0, width), kLeastPrint_mm));
  }

  // Gaps between two bands; a row of tags has its own white border.
  [[nodiscard]] static double gaps(std::size_t bands, std::size_t between) {
    return kGap_mm * static_cast<double>(bands - 1 - std::min(between, bands - 1));
  }
  [[nodiscard]] static double needed(std::size_t bands, std::size_t between) {
    return kLeastBand_mm * static_cast<double>(bands) + gaps(bands, between);
  }

  // As many bands as fit, single inks first.
  [[nodiscard]] std::optional<std::vector<Inks>> choose_bands(double room_mm, std::size_t between) const {
    std::vector<Inks> bands;
    for (const Ink& ink : layout_.inks) bands.push_back({ink.name});
    if (room_mm < needed(bands.size(), between)) return std::nullopt;
    for (Inks& inks : overprints(layout_)) {
      const auto n = bands.size() + 1;
      if (room_mm - gaps(n, between) < kLeastSingle_mm * static_cast<double>(n)) break;
      bands.push_back(std::move(inks));
    }
    return bands;
  }

  void lay_bands(const std::vector<Inks>& bands, double from, double to, std::size_t between) {
    const double row = row_height_mm(options_.tag_mm);
    const std::size_t n = bands.size();
    const std::size_t rows = std::min(between, n - 1);
    const double length =
        (to - from - static_cast<double>(rows) * row - gaps(n, rows)) / static_cast<double>(n);
    double y = from;
    for (std::size_t i = 0; i < n; ++i) {
      band(bands[i], rounded(y), rounded(y + length), i + 1 == n);
      y += length;
      if (i + 1 == n) break;
      // A row of tags after every (n / (rows + 1))-th band.
      const bool tags_here = (i + 1) * (rows + 1) / n != i * (rows + 1) / n && rows > 0;
      if (tags_here) end_row(y + row / 2);
      y += tags_here ? row : kGap_mm;
    }
  }

  void band(const Inks& inks, double from, double to, bool last) {
    auto x = plan_.print_x_mm;
    if (last) {
      plan_.chart.patches.push_back(
          {tags::dark_inks(layout_), {rounded(x[1] - kBlock_mm), x[1]}, {from, to}, 1});
      x[1] = rounded(x[1] - kBlock_mm - kGap_mm);
    }
    plan_.chart.patches.push_back({inks, x, {from, to}, 1});
  }

  void edge_row(double y) {
    const int count = std::max(2, static_cast<int>(std::lround((ends_[1] - ends_[0]) / kTagPitch_mm)) + 1);
    row(y, spread(ends_[0], ends_[1], count));
  }
  void end_row(double y) { row(y, {rounded(ends_[0]), rounded(ends_[1])}); }
  void row(double y, std::vector<double> x) { plan_.rows.push_back({rounded(y), std::move(x)}); }

  void name_all() {
    plan_.chart.name = layout_.name + " test page";
    if (plan_.chart.name.size() > 64) plan_.chart.name = "Test page";
    plan_.chart.sheet_mm = options_.sheet_mm;
    int tags = 0;
    for (const TagRow& row : plan_.rows) tags += static_cast<int>(row.x_mm.size());
    int id = first_id(layout_, options_.sheet_mm, tags);
    for (const TagRow& row : plan_.rows) {
      for (const double x : row.x_mm)
        plan_.chart.marks.push_back({"tag", id++, {x, row.y_mm}, options_.tag_mm});
    }
  }

  const Layout& layout_;
  const PageOptions& options_;
  std::array<double, 2> ends_{};  // centres of the outermost tags
  PagePlan plan_;
};

}  // namespace

double row_height_mm(double tag_mm) {
  return (1 + 2 * kWhite) * tag_mm;
}

Result<PagePlan> plan_page(const Layout& layout, const LayoutDescription& machine,
                           const PageOptions& options) {
  return Planner(layout, machine, options).plan();
}

}  // namespace scrapetrace::testpage
