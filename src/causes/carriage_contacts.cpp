#include "causes/carriage_contacts.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "geometry/contact.h"
#include "geometry/frames.h"

namespace scrapetrace::diagnose {

namespace {

double side_weight(const Layout& layout, std::size_t laying, std::size_t touching) {
  return 0.5 * (geometry::touches_after_laying(layout, laying, touching, false) ? 1 : 0) +
         0.5 * (geometry::touches_after_laying(layout, laying, touching, true) ? 1 : 0);
}

// In the order of their places, and of one place in the order that they come in. Places lie close together,
// so counting them is quicker than comparing.
std::vector<CarriageContacts::Contact> by_place(const std::vector<CarriageContacts::Contact>& contacts) {
  if (contacts.empty()) return {};
  const auto [low, high] = std::minmax_element(
      contacts.begin(), contacts.end(), [](const auto& a, const auto& b) { return a.place < b.place; });
  const int first = low->place;
  std::vector<std::size_t> next(static_cast<std::size_t>(high->place - first) + 2, 0);
  for (const auto& c : contacts) ++next[static_cast<std::size_t>(c.place - first) + 1];
  std::partial_sum(next.begin(), next.end(), next.begin());
  std::vector<CarriageContacts::Contact> out(contacts.size());
  for (const auto& c : contacts) out[next[static_cast<std::size_t>(c.place - first)]++] = c;
  return out;
}

}  // namespace

CarriageContacts::CarriageContacts(const geometry::Machine& machine, std::size_t carriage, int first,
                                   int last) {
  const double offset_mm = machine.layout.carriages[carriage].offset_mm;
  for (int c = std::max(first, machine.columns.printed().first);
       c <= std::min(last, machine.columns.printed().last); ++c) {
    const geometry::Owner owner = machine.columns.owner(c);
    if (owner.nobody()) continue;
    const std::size_t laying = machine.layout.heads[static_cast<std::size_t>(owner.head)].carriage;
    const double x_px =
        (geometry::drum_x_of_column(machine.layout, c, laying) - offset_mm) / machine.layout.px_mm();
    for (int k = owner.pass; k < machine.layout.passes(); ++k) {
      const double weight = k == owner.pass ? side_weight(machine.layout, laying, carriage) : 1;
      if (weight > 0)
        contacts_.push_back(
            {static_cast<int>(std::floor(x_px)) - machine.layout.shift_of(carriage, k), c, weight});
    }
  }
  contacts_ = by_place(contacts_);
}

}  // namespace scrapetrace::diagnose
