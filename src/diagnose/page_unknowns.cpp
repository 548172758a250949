#include "diagnose/page_unknowns.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/parallel.h"
#include "diagnose/mottle_prior.h"

namespace scrapetrace::diagnose {

namespace {

constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();  // of what the scans do not show
constexpr double kKnot_lengths = 0.35;

double jet_variance(const std::vector<std::vector<InkNoise>>& noise, std::size_t ink) {
  double sum = 0;
  int count = 0;
  for (const auto& scan : noise) {
    for (const InkNoise& n : scan) {
      if (n.ink == static_cast<int>(ink)) sum += n.jet_sigma * n.jet_sigma, ++count;
    }
  }
  return count > 0 ? sum / count : 4e-4;
}

bool sees(const profile::Grid& grid, const PatchLoss& view, const SeamLight::Step& step) {
  return step.middle_mm() > grid.at(view.from) && step.middle_mm() < grid.at(view.to);
}

}  // namespace

struct PageUnknowns::Place {
  double x_mm = 0;
  double precision = 1;
  std::size_t* number = nullptr;  // null: follows the one before it
};

PageUnknowns::PageUnknowns(const Layout& layout, const geometry::ColumnMap& columns,
                           const std::vector<ScanLosses>& scans,
                           const std::vector<std::vector<InkNoise>>& noise, int threads)
    : layout_(layout), columns_(columns), scans_(scans) {
  std::vector<Place> places;
  place_jets(noise, places);
  place_knots(places);
  place_steps(places);
  std::stable_sort(places.begin(), places.end(),
                   [](const Place& a, const Place& b) { return a.x_mm < b.x_mm; });
  for (const Place& place : places) {
    if (place.number != nullptr) *place.number = precision_.size();
    precision_.push_back(place.precision);
  }
  for (const std::size_t number : jet_number_) {
    if (number != kNone) jets_.push_back(number);
  }
  std::sort(jets_.begin(), jets_.end());
  for (const std::size_t number : jet_number_) {
    jet_rank_.push_back(
        static_cast<std::size_t>(std::lower_bound(jets_.begin(), jets_.end(), number) - jets_.begin()));
  }
  couple_knots();
  for (const ScanLosses& scan : scans) jets_seen_.push_back(jets_seen_by(scan.footprints.seen(), threads));
}

void PageUnknowns::place_jets(const std::vector<std::vector<InkNoise>>& noise, std::vector<Place>& places) {
  std::vector<std::size_t> first_jet;  // per head: jets of the heads before it
  std::size_t jets = 0;
  for (const Head& head : layout_.heads) {
    first_jet.push_back(jets);
    jets += static_cast<std::size_t>(head.jets);
  }
  jet_number_.assign(jets, kNone);
  jet_of_.assign(static_cast<std::size_t>(columns_.columns()), kNone);
  std::vector<double> sum(jets, 0.0);
  std::vector<int> count(jets, 0);
  for (int c = columns_.printed().first; c <= columns_.printed().last; ++c) {
    const geometry::Owner owner = columns_.owner(c);
    if (owner.nobody()) continue;
    const std::size_t jet =
        first_jet[static_cast<std::size_t>(owner.head)] + static_cast<std::size_t>(owner.jet);
    jet_of_[static_cast<std::size_t>(c)] = jet;
    sum[jet] += c * layout_.px_mm();
    ++count[jet];
  }
  std::vector<double> precision;
  for (std::size_t ink = 0; ink < inks(); ++ink) precision.push_back(1 / jet_variance(noise, ink));
  for (std::size_t jet = 0; jet < jets; ++jet) {
    if (count[jet] == 0) continue;
    for (std::size_t ink = 0; ink < inks(); ++ink)
      places.push_back({sum[jet] / count[jet], precision[ink], ink == 0 ? &jet_number_[jet] : nullptr});
  }
}

void PageUnknowns::place_knots(std::vector<Place>& places) {
  for (const ScanLosses& scan : scans_) {
    auto& of_scan = knots_.emplace_back();
    for (const PatchLoss& view : scan.patches) span_knots(scan.grid, view, of_scan);
    for (auto& of_patch : of_scan) {
      for (Knots& knots : of_patch) {
        if (knots.variance <= 0) continue;
        const double length_mm = knots.last_mm - knots.first_mm;
        knots.number.assign(static_cast<std::size_t>(length_mm / knots.step_mm) + 2, 0);
        for (std::size_t k = 0; k < knots.number.size(); ++k)
          places.push_back({knots.first_mm + static_cast<double>(k) * knots.step_mm, 0, &knots.number[k]});
      }
    }
  }
}

void PageUnknowns::place_steps(std::vector<Place>& places) {
  for (const ScanLosses& scan : scans_) {
    auto& of_scan = step_number_.emplace_back();
    for (const PatchLoss& view : scan.patches) {
      const auto& steps = view.seams.steps();
      auto& of_view = of_scan.emplace_back(steps.size());
      for (auto& number : of_view) number.fill(kNone);
      for (std::size_t s = 0; s < steps.size(); ++s) {
        if (!sees(scan.grid, view, steps[s])) continue;
        for (std::size_t& number : of_view[s]) places.push_back({steps[s].middle_mm(), 1, &number});
      }
    }
  }
}

// Room for the knots of the inks that a view shows, as wide as any view of its patch.
void PageUnknowns::span_knots(const profile::Grid& grid, const PatchLoss& view,
                              std::vector<std::vector<Knots>>& of_scan) const {
  if (view.to <= view.from) return;
  const auto patch = static_cast<std::size_t>(view.patch);
  if (of_scan.size() <= patch) of_scan.resize(patch + 1, std::vector<Knots>(layout_.inks.size()));
  for (std::size_t i = 0; i < view.share.size(); ++i) {
    if (view.share[i] < kFaintestShare) continue;
    Knots& knots = of_scan[patch][i];
    const bool fresh = knots.variance <= 0;
    knots.variance = view.mottle[i].variance;
    knots.step_mm = kKnot_lengths * view.mottle[i].length_mm;
    knots.first_mm = fresh ? grid.at(view.from) : std::min(knots.first_mm, grid.at(view.from));
    knots.last_mm = fresh ? grid.at(view.to) : std::max(knots.last_mm, grid.at(view.to));
  }
}

void PageUnknowns::couple_knots() {
  for (const auto& of_scan : knots_) {
    for (const auto& of_patch : of_scan) {
      for (const Knots& knots : of_patch) {
        const std::vector<std::size_t>& number = knots.number;
        if (number.empty()) continue;
        const auto precision = mottle_precision(number.size(), kKnot_lengths);
        for (std::size_t k = 0; k < number.size(); ++k) {
          precision_[number[k]] = precision[k][0] / knots.variance;
          for (std::size_t j = 1; j <= std::min(k, kMottleOrder); ++j)
            couplings_.push_back({number[k], number[k - j], precision[k][j] / knots.variance});
        }
      }
    }
  }
}

void PageUnknowns::free_odd_jets(const std::vector<double>& unknowns) {
  constexpr double kOdd = 3.5;      // standard deviations of the prior
  constexpr double kFreedom = 400;  // as a factor of the variance
  for (const std::size_t first : jet_number_) {
    if (first == kNone) continue;
    for (std::size_t jet = first; jet < first + inks(); ++jet) {
      if (std::abs(unknowns[jet]) * std::sqrt(precision_[jet]) > kOdd) precision_[jet] /= kFreedom;
    }
  }
}

Ragged<PageUnknowns::SeenJet> PageUnknowns::jets_seen_by(const Ragged<SeenColumn>& samples,
                                                         int threads) const {
  std::vector<Ragged<SeenJet>> parts((samples.size() + kSamplesAtOnce - 1) / kSamplesAtOnce);
  for_each_stretch(samples.size(), kSamplesAtOnce, threads, [&](std::size_t from, std::size_t to) {
    std::vector<SeenJet> jets;
    for (std::size_t i = from; i < to; ++i) {
      jets.clear();
      add_jets_seen(samples[i], jets);
      parts[from / kSamplesAtOnce].push_back(jets);
    }
  });
  Ragged<SeenJet> out;
  for (const auto& part : parts) out.append(part);
  return out;
}

void PageUnknowns::add_jets_seen(std::span<const SeenColumn> columns, std::vector<SeenJet>& out) const {
  for (const SeenColumn& seen : columns) {
    const std::size_t jet = jet_of_[static_cast<std::size_t>(seen.column)];
    const std::size_t first = jet_number_[jet];
    const auto after =
        std::find_if(out.begin(), out.end(), [&](const SeenJet& other) { return other.first >= first; });
    if (after != out.end() && after->first == first) {
      after->weight += seen.weight;
    } else {
      out.insert(after, {first, jet_rank_[jet], seen.weight});
    }
  }
}

std::vector<double> PageUnknowns::steps_moved_mm(std::size_t scan,
                                                 const std::vector<double>& unknowns) const {
  std::vector<double> sum;
  std::vector<double> weight;
  for (std::size_t v = 0; v < scans_[scan].patches.size(); ++v) {
    const PatchLoss& view = scans_[scan].patches[v];
    const auto& steps = view.seams.steps();
    sum.resize(steps.size(), 0.0);
    weight.resize(steps.size(), 0.0);
    for (std::size_t s = 0; s < steps.size(); ++s) {
      if (!sees(scans_[scan].grid, view, steps[s])) continue;
      std::array<double, kSeamShapes> differs{};
      for (std::size_t k = 0; k < differs.size(); ++k) differs[k] = unknowns[step_number_[scan][v][s][k]];
      const double light = std::pow(straight_loss_of_step(view.level, steps[s].overlap()), 2);
      sum[s] += light * moved_mm(differs);
      weight[s] += light;
    }
  }
  for (std::size_t s = 0; s < sum.size(); ++s) sum[s] /= std::max(weight[s], 1e-9);
  return sum;
}

std::vector<double> PageUnknowns::losses_of(std::size_t scan, std::size_t patch,
                                            const std::vector<double>& unknowns) const {
  const std::vector<double>& share = scans_[scan].patches[patch].share;
  std::vector<double> out(jet_of_.size(), 0.0);
  for (std::size_t c = 0; c < jet_of_.size(); ++c) {
    if (jet_of_[c] == kNone) continue;
    for (std::size_t i = 0; i < share.size(); ++i) {
      if (share[i] >= kFaintestShare) out[c] += share[i] * unknowns[jet_number_[jet_of_[c]] + i];
    }
  }
  return out;
}

const PageUnknowns::StepNumbers* PageUnknowns::step(std::size_t scan, std::size_t view,
                                                    std::size_t step) const {
  const StepNumbers& numbers = step_number_[scan][view][step];
  return numbers.front() == kNone ? nullptr : &numbers;
}

}  // namespace scrapetrace::diagnose
