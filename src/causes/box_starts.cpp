#include "causes/box_starts.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "causes/carriage_contacts.h"

namespace scrapetrace::diagnose {

namespace {

// Gradient and information of losses at places of the carriage, as prefix sums.
class CarriedBack {
 public:
  CarriedBack(const SearchContext& context, std::size_t carriage, std::size_t shift) {
    const Scene& scene = context.scene();
    const std::size_t n = scene.cells.size();
    std::map<int, std::size_t> cell_of;  // by column
    for (std::size_t c = 0; c < n; ++c) {
      if (scene.cells[c].column >= 0) cell_of.emplace(scene.cells[c].column, c);
    }
    if (cell_of.empty()) return;
    const CarriageContacts contacts(context.machine, carriage, cell_of.begin()->first,
                                    cell_of.rbegin()->first);
    if (contacts.all().empty()) return;
    first_ = contacts.all().front().place;
    size_ = static_cast<std::size_t>(contacts.all().back().place - first_) + 1;
    const LossEvidence evidence = context.evaluator.loss_evidence(shift);
    std::vector<double> pull(size_, 0.0);
    std::vector<double> half(n * size_, 0.0);  // I K, by cell and place
    for (const auto& contact : contacts.all()) {
      const auto cell = cell_of.find(contact.column);
      if (cell == cell_of.end()) continue;
      const auto place = static_cast<std::size_t>(contact.place - first_);
      pull[place] += contact.weight * evidence.pull[cell->second];
      for (std::size_t c = 0; c < n; ++c)
        half[c * size_ + place] += contact.weight * evidence.information[c * n + cell->second];
    }
    std::vector<double> both(size_ * size_, 0.0);  // K' I K
    for (const auto& contact : contacts.all()) {
      const auto cell = cell_of.find(contact.column);
      if (cell == cell_of.end()) continue;
      double* row = both.data() + static_cast<std::size_t>(contact.place - first_) * size_;
      const double* from = half.data() + cell->second * size_;
      for (std::size_t x = 0; x < size_; ++x) row[x] += contact.weight * from[x];
    }
    add_up(pull, both);
  }

  [[nodiscard]] int first() const { return first_; }
  [[nodiscard]] int size() const { return static_cast<int>(size_); }

  // Of the places [from, to), counted from first().
  [[nodiscard]] double gain(std::size_t from, std::size_t to) const {
    const double pull = pull_[to] - pull_[from];
    const std::size_t w = size_ + 1;
    const double information =
        both_[to * w + to] - both_[from * w + to] - both_[to * w + from] + both_[from * w + from];
    return pull > 0 && information > 0 ? 0.5 * pull * pull / information : 0;
  }

 private:
  void add_up(const std::vector<double>& pull, const std::vector<double>& both) {
    const std::size_t w = size_ + 1;
    pull_.assign(w, 0.0);
    both_.assign(w * w, 0.0);
    for (std::size_t a = 0; a < size_; ++a) {
      pull_[a + 1] = pull_[a] + pull[a];
      double row = 0;
      for (std::size_t b = 0; b < size_; ++b) {
        row += both[a * size_ + b];
        both_[(a + 1) * w + b + 1] = both_[a * w + b + 1] + row;
      }
    }
  }

  int first_ = 0;
  std::size_t size_ = 0;
  std::vector<double> pull_;
  std::vector<double> both_;
};

}  // namespace

std::vector<BoxStart> box_starts(const SearchContext& context, std::size_t carriage, std::size_t shift,
                                 int widest_px, std::size_t most) {
  constexpr int kApart = 6;  // places, of both ends together: closer contacts are alike
  struct Scored {
    double gain = 0;
    int left = 0;
    int width = 0;
  };
  const CarriedBack carried(context, carriage, shift);
  std::vector<Scored> all;
  for (int left = 0; left < carried.size(); ++left) {
    for (int width = 1; width <= widest_px && left + width <= carried.size(); ++width) {
      const double gain =
          carried.gain(static_cast<std::size_t>(left), static_cast<std::size_t>(left + width));
      if (gain > 0) all.push_back({gain, left, width});
    }
  }
  std::stable_sort(all.begin(), all.end(), [](const Scored& a, const Scored& b) { return a.gain > b.gain; });
  std::vector<Scored> kept;
  for (const Scored& s : all) {
    if (kept.size() == most) break;
    if (std::none_of(kept.begin(), kept.end(), [&](const Scored& k) {
          return std::abs(k.left - s.left) + std::abs(k.left + k.width - s.left - s.width) < kApart;
        }))
      kept.push_back(s);
  }
  const double px = context.machine.layout.px_mm();
  const double offset_mm = context.machine.layout.carriages[carriage].offset_mm;
  std::vector<BoxStart> out;
  for (const Scored& s : kept) out.push_back({(carried.first() + s.left) * px + offset_mm, s.width * px});
  return out;
}

}  // namespace scrapetrace::diagnose
