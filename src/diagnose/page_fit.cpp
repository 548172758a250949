#include "diagnose/page_fit.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numeric>

#include "base/robust.h"
#include "diagnose/independent_views.h"

namespace scrapetrace::diagnose {

namespace {

constexpr double kClip = 5;     // standard deviations beyond what other views of the place show
constexpr double kTells = 0.2;  // of a loss of all inks, that a view must show to tell how large it is
constexpr std::size_t kFewestMeans = 30;

// Variance that white noise would need to be as strong as a patch's residuals are at the widths of a streak:
// the largest of 1, 2, 4 and 8 times the variance of means over as many samples. Robust: streaks do not
// count.
double white_equal(const PatchLoss& patch, const std::vector<double>& residual) {
  double most = 0;
  for (int length = 1; length <= 8; length *= 2) {
    std::vector<double> means;
    for (int i = patch.from; i + length <= patch.to; i += length) {
      double sum = 0;
      bool all = true;
      for (int k = i; k < i + length && all; ++k) {
        all = patch.variance[static_cast<std::size_t>(k)] > 0;
        sum += residual[static_cast<std::size_t>(k)];
      }
      if (all) means.push_back(sum / length);
    }
    if (means.size() < kFewestMeans) break;
    most = std::max(most, length * std::pow(robust_sigma(means, median(means)), 2));
  }
  return most;
}

// Part of the samples' variance that the unknowns have left.
double freedom_left(std::size_t samples, std::size_t unknowns) {
  const auto count = static_cast<double>(std::max<std::size_t>(1, samples));
  return std::max(0.3, 1 - static_cast<double>(unknowns) / count);
}

// The one in the middle by size: the smaller one of two.
double middle_by_size(std::vector<double>& values) {
  if (values.empty()) return 0;
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>((values.size() - 1) / 2);
  std::nth_element(values.begin(), middle, values.end(),
                   [](double a, double b) { return std::abs(a) < std::abs(b); });
  return *middle;
}

// What a loss of all inks alike shows in a view.
double whole(const PatchLoss& view) {
  return std::accumulate(view.share.begin(), view.share.end(), 0.0);
}

}  // namespace

PageFit::PageFit(const Layout& layout, const geometry::ColumnMap& columns, std::vector<ScanLosses> losses,
                 const std::vector<std::vector<InkNoise>>& noise, std::size_t asked, int threads)
    : layout_(layout),
      columns_(columns),
      asked_(asked),
      threads_(threads),
      losses_(std::move(losses)),
      unknowns_(layout, columns, losses_, noise),
      samples_(std::in_place, losses_, unknowns_, threads) {}

bool PageFit::solve() {
  system_ = std::make_unique<BandedCholesky>(unknowns_.size(), samples_->band());
  for (std::size_t u = 0; u < unknowns_.size(); ++u) system_->add(u, u, unknowns_.precision(u));
  for (const Coupling& c : unknowns_.couplings()) system_->add(c.unknown, c.earlier, c.precision);
  samples_->each_by_unknown(unknowns_.size(), threads_,
                            [&](std::size_t, std::size_t s, std::size_t p, std::size_t i,
                                std::span<const Part> parts, const PageSamples::OwnParts& own) {
                              const double precision = 1 / variance(s, p, i);
                              for (std::size_t a = own.from; a < own.to; ++a) {
                                const double weight = static_cast<double>(parts[a].weight) * precision;
                                double* const row = system_->entries(parts[a].unknown, parts.front().unknown);
                                for (const Part& b : parts.first(a + 1))
                                  row[b.unknown] += weight * static_cast<double>(b.weight);
                              }
                            });
  if (!system_->factor()) return false;
  std::vector<double> loss(samples_->size());
  samples_->each_side_by_side(
      threads_, [&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
        loss[k] = losses_[s].patches[p].loss[i];
      });
  const std::vector<double> left = left_over(loss, &likeliest_);
  residuals_.clear();
  for (const ScanLosses& scan : losses_) {
    residuals_.emplace_back();
    for (const PatchLoss& patch : scan.patches) residuals_.back().emplace_back(patch.loss.size(), 0.0);
  }
  samples_->each_side_by_side(threads_, [&](std::size_t k, std::size_t s, std::size_t p, std::size_t i,
                                            std::span<const Part>) { residuals_[s][p][i] = left[k]; });
  return true;
}

std::vector<double> PageFit::left_over(const std::vector<double>& y, std::vector<double>* likeliest) const {
  std::vector<double> m(unknowns_.size(), 0.0);
  samples_->each_by_unknown(m.size(), threads_,
                            [&](std::size_t k, std::size_t s, std::size_t p, std::size_t i,
                                std::span<const Part> parts, const PageSamples::OwnParts& own) {
                              const double weighted = y[k] / variance(s, p, i);
                              for (std::size_t a = own.from; a < own.to; ++a)
                                m[parts[a].unknown] += static_cast<double>(parts[a].weight) * weighted;
                            });
  system_->solve(m);
  std::vector<double> left = y;
  samples_->each_side_by_side(
      threads_, [&](std::size_t k, std::size_t, std::size_t, std::size_t, std::span<const Part> parts) {
        for (const Part& part : parts) left[k] -= static_cast<double>(part.weight) * m[part.unknown];
      });
  if (likeliest != nullptr) *likeliest = std::move(m);
  return left;
}

void PageFit::weigh_by_residuals(std::vector<std::vector<InkNoise>>& noise) {
  const double freedom = freedom_left(samples_->size(), unknowns_.size());
  for (std::size_t s = 0; s < losses_.size(); ++s) {
    for (std::size_t p = 0; p < losses_[s].patches.size(); ++p) {
      PatchLoss& patch = losses_[s].patches[p];
      const double shown = white_equal(patch, residuals_[s][p]) / freedom;
      double own = 0;  // the largest over the samples that count, where no step at a seam was taken out
      for (std::size_t k = 0; k < patch.variance.size(); ++k) {
        if (patch.seams.at(k) == nullptr) own = std::max(own, patch.variance[k]);
      }
      const double more = std::max(0.0, shown - own);
      for (double& v : patch.variance) {
        if (v > 0) v += more;
      }
      if (!patch.single_ink) continue;
      for (InkNoise& n : noise[s]) {
        if (n.ink == patch.ink) n.unexplained_sigma = std::max(n.unexplained_sigma, std::sqrt(more));
      }
    }
  }
}

void PageFit::make_views_independent() {
  for (std::size_t s = 0; s < losses_.size(); ++s) make_independent(residuals_[s], losses_[s].patches);
  samples_.reset();  // two of them are more memory than all else that a page takes
  samples_.emplace(losses_, unknowns_, threads_);
}

double PageFit::share_of(const Loss& loss, std::size_t scan, std::size_t patch) const {
  const PatchLoss& view = losses_[scan].patches[patch];
  return loss.ink ? view.share[*loss.ink] : whole(view);
}

PageFit::Seen PageFit::seen_of(const Loss& loss, std::size_t scan) const {
  const int columns = static_cast<int>(loss.part.size());
  const auto [begin, end] = losses_[scan].footprints.samples_of(loss.first, loss.first + columns - 1);
  Seen out;
  out.first = std::max(0, begin);
  for (int i = out.first; i < end; ++i) {
    double sum = 0;
    for (const SeenColumn& s : losses_[scan].footprints.seen()[static_cast<std::size_t>(i)]) {
      const int k = s.column - loss.first;
      if (k >= 0 && k < columns) sum += s.weight * loss.part[static_cast<std::size_t>(k)];
    }
    out.part.push_back(sum);
  }
  return out;
}

std::vector<std::vector<double>> PageFit::carried_to_columns(const std::vector<double>& left) const {
  std::vector<std::vector<double>> out(
      layout_.inks.size(), std::vector<double>(static_cast<std::size_t>(columns_.columns()), 0.0));
  samples_->each([&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
    if (s >= asked_ || left[k] == 0) return;
    const double pull = left[k] / variance(s, p, i);
    const std::vector<double>& share = losses_[s].patches[p].share;
    for (std::size_t ink = 0; ink < share.size(); ++ink) {
      if (share[ink] == 0) continue;
      for (const SeenColumn& seen : losses_[s].footprints.seen()[i])
        out[ink][static_cast<std::size_t>(seen.column)] += share[ink] * seen.weight * pull;
    }
  });
  return out;
}

PageFit::LossByPlace PageFit::loss_by_place() const {
  std::vector<std::vector<std::vector<double>>> shown;  // by views that tell
  for (const ScanLosses& scan : losses_) shown.emplace_back(static_cast<std::size_t>(scan.grid.size));
  samples_->each([&](std::size_t, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
    const double share = whole(losses_[s].patches[p]);
    if (std::abs(share) > kTells) shown[s][i].push_back(residuals_[s][p][i] / share);
  });
  LossByPlace out;
  for (auto& of_scan : shown) {
    std::transform(of_scan.begin(), of_scan.end(), std::back_inserter(out.emplace_back()), middle_by_size);
  }
  return out;
}

// A loss of all inks shows in all views, however strong it is. What sticks out of the others is something
// else.
std::vector<std::vector<double>> PageFit::evidence() const {
  const LossByPlace losses = loss_by_place();
  std::vector<double> left(samples_->size());
  samples_->each([&](std::size_t k, std::size_t s, std::size_t p, std::size_t i, std::span<const Part>) {
    const double expected = whole(losses_[s].patches[p]) * losses[s][i];
    const double limit = kClip * std::sqrt(variance(s, p, i));
    left[k] = std::clamp(residuals_[s][p][i], expected - limit, expected + limit);
  });
  return carried_to_columns(left);
}

std::vector<std::vector<double>> PageFit::evidence_of(const Loss& loss) const {
  std::vector<double> lost(samples_->size(), 0.0);
  for (std::size_t s = 0; s < asked_ && s < losses_.size(); ++s) {
    const Seen seen = seen_of(loss, s);
    for (std::size_t p = 0; p < losses_[s].patches.size(); ++p) {
      const double share = share_of(loss, s, p);
      each_seeing(seen, s, p, [&](std::size_t k, std::size_t, double part, std::span<const Part>) {
        lost[k] = share * part;
      });
    }
  }
  return carried_to_columns(left_over(lost, nullptr));
}

std::vector<double> PageFit::information(int first, int last) const {
  const auto n = static_cast<std::size_t>(last - first + 1);
  std::vector<double> out(n * n, 0.0);
  std::vector<std::map<std::size_t, double>> shared(n);  // W^T N^-1 B, by column
  samples_->each([&](std::size_t, std::size_t s, std::size_t p, std::size_t i, std::span<const Part> parts) {
    if (s >= asked_) return;
    const auto& seen = losses_[s].footprints.seen()[i];
    const double share = whole(losses_[s].patches[p]);
    for (const SeenColumn& a : seen) {
      if (a.column < first || a.column > last) continue;
      const auto row = static_cast<std::size_t>(a.column - first);
      const double weight = share * a.weight / variance(s, p, i);
      for (const SeenColumn& b : seen) {
        if (b.column >= first && b.column <= last)
          out[row * n + static_cast<std::size_t>(b.column - first)] += weight * share * b.weight;
      }
      for (const Part& part : parts) shared[row][part.unknown] += weight * static_cast<double>(part.weight);
    }
  });
  for (std::size_t row = 0; row < n; ++row) {
    if (shared[row].empty()) continue;
    std::vector<double> explained(unknowns_.size(), 0.0);
    for (const auto& [unknown, weight] : shared[row]) explained[unknown] = weight;
    system_->solve(explained);
    for (std::size_t c = 0; c < n; ++c) {
      for (const auto& [unknown, weight] : shared[c]) out[row * n + c] -= weight * explained[unknown];
    }
  }
  return out;
}

// |N^-1/2 B n|^2 - |L^-1 W^T N^-1 B n|^2. What a loss shares with unknowns fades over a few band widths
// beyond its own: farther the second term is left out.
double PageFit::information_of(const Loss& loss) const {
  constexpr std::size_t kFade_bands = 3;
  std::vector<double> shared(unknowns_.size(), 0.0);
  std::size_t from = shared.size();
  std::size_t to = 0;
  double own = 0;
  for (std::size_t s = 0; s < asked_ && s < losses_.size(); ++s) {
    const Seen seen = seen_of(loss, s);
    for (std::size_t p = 0; p < losses_[s].patches.size(); ++p) {
      const double share = share_of(loss, s, p);
      if (share == 0) continue;
      each_seeing(seen, s, p, [&](std::size_t, std::size_t i, double part, std::span<const Part> parts) {
        const double lost = share * part;
        if (lost == 0) return;
        const double weight = lost / variance(s, p, i);
        own += lost * weight;
        for (const Part& u : parts) shared[u.unknown] += weight * static_cast<double>(u.weight);
        from = std::min<std::size_t>(from, parts.front().unknown);
        to = std::max<std::size_t>(to, parts.back().unknown + 1);
      });
    }
  }
  if (from >= to) return own;
  return own -
         system_->whitened_square(shared, from, std::min(shared.size(), to + kFade_bands * samples_->band()));
}

}  // namespace scrapetrace::diagnose
