#include "fit/nominal_place.h"

#include <algorithm>
#include <cmath>

#include "base/wording.h"
#include "geometry/contact.h"
#include "geometry/frames.h"

namespace scrapetrace::fit {

namespace {

constexpr double kOutwardSigma_mm = 0.5;
constexpr double kResidueWidth_mm = 1.0;  // hardly affects the middle of its streak

Problem wrong(const KnownPlace& place, const std::string& what) {
  return {{}, 0, 0, to_string(place) + ": " + what};
}

std::optional<std::size_t> head_named(const Layout& layout, const std::string& name) {
  for (std::size_t h = 0; h < layout.heads.size(); ++h) {
    if (layout.heads[h].name == name) return h;
  }
  return std::nullopt;
}

Result<NominalPlace> place_of_jet(const Layout& layout, const geometry::ColumnMap& columns, std::size_t head,
                                  const KnownPlace& place) {
  const KnownJet& jet = *place.jet;
  const auto carriage = layout.heads[head].carriage;
  if (jet.jet < 0 || jet.jet >= layout.heads[head].jets)
    return wrong(place, "the head has jets 0 to " + std::to_string(layout.heads[head].jets - 1) + ".");
  if (jet.pass && (*jet.pass < 0 || *jet.pass >= layout.passes()))
    return wrong(place, "the layout has passes 0 to " + std::to_string(layout.passes() - 1) + ".");
  auto lines = geometry::columns_of_jet(layout, columns, head, jet.jet);
  if (jet.pass) {
    std::erase_if(lines, [&](int column) { return columns.owner(column).pass != *jet.pass; });
  }
  if (lines.empty())
    return wrong(place, "prints no column of its own there, so it leaves no gap; take one further in.");
  const auto [first, last] = std::minmax_element(lines.begin(), lines.end());
  const double x = 0.5 * (geometry::drum_x_of_column(layout, *first, carriage) +
                          geometry::drum_x_of_column(layout, *last, carriage));
  NominalPlace out{head, x, 0};
  std::sort(lines.begin(), lines.end());
  for (const int column : lines)
    out.lines_mm.push_back(geometry::drum_x_of_column(layout, column, carriage) - x);
  return out;
}

// Centre of the residue with its standard deviation.
Result<std::pair<double, double>> outward_of(const Layout& layout, const KnownPlace& place) {
  const KnownScrape& scrape = *place.scrape;
  if (scrape.outward_mm)
    return std::pair{*scrape.outward_mm, scrape.outward_sigma_mm.value_or(kOutwardSigma_mm)};
  for (const Zone& zone : layout.zones) {
    if (zone.side != scrape.side || zone.surface != scrape.surface) continue;
    // Uniform over the zone.
    return std::pair{0.5 * (zone.from_mm + zone.to_mm),
                     scrape.outward_sigma_mm.value_or((zone.to_mm - zone.from_mm) / std::sqrt(12.0))};
  }
  return wrong(place, "the layout has no surface " + in_quotes(scrape.surface) +
                          " on that side; give outward_mm, or a surface of the layout.");
}

Result<NominalPlace> place_of_scrape(const Layout& layout, const geometry::ColumnMap& columns,
                                     std::size_t head, const KnownPlace& place) {
  const auto outward = outward_of(layout, place);
  if (!outward) return outward.problems();
  const Head& of = layout.heads[head];
  const double middle = geometry::drum_from_outward(layout, of, place.scrape->side, outward->first);
  const geometry::Contact contact{of.carriage, false, middle - kResidueWidth_mm / 2, kResidueWidth_mm};
  const auto touches = geometry::count_touches(layout, columns, contact);
  const auto touched = [](std::uint8_t n) { return n > 0; };
  const auto first = std::find_if(touches.n.begin(), touches.n.end(), touched);
  const auto last = std::find_if(touches.n.rbegin(), touches.n.rend(), touched);
  if (first == touches.n.end())
    return wrong(place, "residue there touches no ink, so it draws no streak; is the head right?");
  const double from = touches.first + static_cast<double>(first - touches.n.begin());
  const double to = touches.first + static_cast<double>(touches.n.rend() - last);
  // A column may be missed at each end.
  return NominalPlace{head, 0.5 * (from + to) * layout.px_mm(), std::hypot(outward->second, layout.px_mm())};
}

}  // namespace

Result<NominalPlace> nominal_place(const Layout& layout, const geometry::ColumnMap& columns,
                                   const KnownPlace& place) {
  const std::string& name = place.jet ? place.jet->head : place.scrape->head;
  const auto head = head_named(layout, name);
  if (!head) {
    std::vector<std::string> known;
    for (const Head& each : layout.heads) known.push_back(each.name);
    return wrong(place, "the layout has no head " + in_quotes(name) + "; it has " + any_of(known) + ".");
  }
  return place.jet ? place_of_jet(layout, columns, *head, place)
                   : place_of_scrape(layout, columns, *head, place);
}

}  // namespace scrapetrace::fit
