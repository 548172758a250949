#include "diagnose/page_fit.h"

#include <algorithm>
#include <cmath>
#include <iterator>
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

// The largest over the samples that count, where no step at a seam was taken out.
double most_variance(const PatchLoss& patch) {
  double out = 0;
  for (std::size_t k = 0; k < patch.variance.size(); ++k) {
    if (patch.seams.at(k) == nullptr) out = std::max(out, patch.variance[k]);
  }
  return out;
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

}  // namespace

PageFit::PageFit(const Layout& layout, const geometry::ColumnMap& columns, std::vector<ScanLosses> losses,
                 const std::vector<std::vector<InkNoise>>& noise, std::size_t asked, int threads)
    : layout_(layout),
      columns_(columns),
      asked_(asked),
      threads_(threads),
      losses_(std::move(losses)),
      unknowns_(layout, columns, losses_, noise, threads) {}

bool PageFit::solve() {
  samples_.emplace(losses_, unknowns_, threads_);
  system_ = std::make_unique<BandedCholesky>(unknowns_.size(), samples_->band());
  for (std::size_t u = 0; u < unknowns_.size(); ++u) system_->add(u, u, unknowns_.precision(u));
  for (const Coupling& c : unknowns_.couplings()) system_->add(c.unknown, c.earlier, c.precision);
  samples_->add_to(*system_, threads_);
  if (!system_->factor()) return false;
  BySample loss = samples_->zeros();
  samples_->each(threads_, [&](std::size_t s, std::size_t p, std::size_t i) {
    loss[s][p][i] = losses_[s].patches[p].loss[i];
  });
  residuals_ = left_over(loss, &likeliest_);
  return true;
}

BySample PageFit::left_over(const BySample& y, std::vector<double>* likeliest) const {
  std::vector<double> m = samples_->to_unknowns(y, threads_);
  system_->solve(m);
  BySample left = samples_->of_unknowns(m, threads_);
  samples_->each(threads_, [&](std::size_t s, std::size_t p, std::size_t i) {
    left[s][p][i] = y[s][p][i] - left[s][p][i];
  });
  if (likeliest != nullptr) *likeliest = std::move(m);
  return left;
}

void PageFit::weigh_by_residuals(std::vector<std::vector<InkNoise>>& noise) {
  const double freedom = freedom_left(samples_->size(), unknowns_.size());
  for (std::size_t s = 0; s < losses_.size(); ++s) {
    std::vector<double> more(losses_[s].patches.size());
    for_each_part(more.size(), threads_, [&](std::size_t p) {
      PatchLoss& patch = losses_[s].patches[p];
      more[p] = std::max(0.0, white_equal(patch, residuals_[s][p]) / freedom - most_variance(patch));
      for (double& v : patch.variance) {
        if (v > 0) v += more[p];
      }
    });
    for (std::size_t p = 0; p < more.size(); ++p) {
      const PatchLoss& patch = losses_[s].patches[p];
      if (!patch.single_ink) continue;
      for (InkNoise& n : noise[s]) {
        if (n.ink == patch.ink) n.unexplained_sigma = std::max(n.unexplained_sigma, std::sqrt(more[p]));
      }
    }
  }
}

void PageFit::make_views_independent() {
  for (std::size_t s = 0; s < losses_.size(); ++s)
    make_independent(residuals_[s], losses_[s].patches, threads_);
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

PageFit::Shared PageFit::shared_with(const Loss& loss) const {
  Shared out;
  std::vector<Seen> seen;
  out.range = {unknowns_.size(), 0};
  for (std::size_t s = 0; s < asked_ && s < losses_.size(); ++s) {
    seen.push_back(seen_of(loss, s));
    const auto first = static_cast<std::size_t>(seen.back().first);
    const auto range = samples_->seen_by(s, first, first + seen.back().part.size());
    out.range = {std::min(out.range.from, range.from), std::max(out.range.to, range.to)};
  }
  if (out.range.from >= out.range.to) return out;
  out.part.assign(out.range.to - out.range.from, 0.0);
  for (std::size_t s = 0; s < seen.size(); ++s) {
    const auto first = static_cast<std::size_t>(seen[s].first);
    out.own += samples_->carry_loss(s, first, seen[s].part, loss.ink, out.range.from, out.part);
  }
  return out;
}

std::vector<std::vector<double>> PageFit::carried_to_columns(const BySample& left) const {
  std::vector<std::vector<double>> out(
      layout_.inks.size(), std::vector<double>(static_cast<std::size_t>(columns_.columns()), 0.0));
  for (std::size_t s = 0; s < asked_ && s < losses_.size(); ++s) {
    for_each_part(out.size(), threads_, [&](std::size_t ink) {
      std::vector<double> pull(static_cast<std::size_t>(losses_[s].grid.size), 0.0);
      for (std::size_t p = 0; p < losses_[s].patches.size(); ++p) {
        const double share = losses_[s].patches[p].share[ink];
        if (share == 0) continue;
        samples_->each_of(s, p, [&](std::size_t i) { pull[i] += share * left[s][p][i] / variance(s, p, i); });
      }
      for (std::size_t i = 0; i < pull.size(); ++i) {
        if (pull[i] == 0) continue;
        for (const SeenColumn& seen : losses_[s].footprints.seen()[i])
          out[ink][static_cast<std::size_t>(seen.column)] += seen.weight * pull[i];
      }
    });
  }
  return out;
}

// By the middle one of the views that tell.
std::vector<double> PageFit::loss_by_place(std::size_t scan) const {
  std::vector<double> whole_share;
  for (const PatchLoss& view : losses_[scan].patches) whole_share.push_back(whole(view));
  std::vector<double> out(static_cast<std::size_t>(losses_[scan].grid.size), 0.0);
  for_each_stretch(out.size(), kSamplesAtOnce, threads_, [&](std::size_t from, std::size_t to) {
    std::vector<double> shown;
    for (std::size_t i = from; i < to; ++i) {
      shown.clear();
      for (std::size_t p = 0; p < whole_share.size(); ++p) {
        if (std::abs(whole_share[p]) > kTells && samples_->counts(scan, p, i))
          shown.push_back(residuals_[scan][p][i] / whole_share[p]);
      }
      out[i] = middle_by_size(shown);
    }
  });
  return out;
}

// A loss of all inks shows in all views, however strong it is. What sticks out of the others is something
// else.
std::vector<std::vector<double>> PageFit::evidence() const {
  BySample left = samples_->zeros();
  for (std::size_t s = 0; s < asked_ && s < losses_.size(); ++s) {
    const std::vector<double> losses = loss_by_place(s);
    for_each_part(left[s].size(), threads_, [&](std::size_t p) {
      const double share = whole(losses_[s].patches[p]);
      samples_->each_of(s, p, [&](std::size_t i) {
        const double limit = kClip * std::sqrt(variance(s, p, i));
        left[s][p][i] = std::clamp(residuals_[s][p][i], share * losses[i] - limit, share * losses[i] + limit);
      });
    });
  }
  return carried_to_columns(left);
}

std::vector<std::vector<double>> PageFit::evidence_of(const Loss& loss) const {
  BySample lost = samples_->zeros();
  for (std::size_t s = 0; s < asked_ && s < losses_.size(); ++s) {
    const Seen seen = seen_of(loss, s);
    for (std::size_t p = 0; p < losses_[s].patches.size(); ++p) {
      const double share = share_of(losses_[s].patches[p], loss.ink);
      for (std::size_t k = 0; k < seen.part.size(); ++k)
        lost[s][p][static_cast<std::size_t>(seen.first) + k] = share * seen.part[k];
    }
  }
  return carried_to_columns(left_over(lost, nullptr));
}

std::vector<double> PageFit::information(int first, int last) const {
  const auto n = static_cast<std::size_t>(last - first + 1);
  std::vector<double> out(n * n, 0.0);
  for (std::size_t s = 0; s < asked_ && s < losses_.size(); ++s) {
    const auto [from, to] = losses_[s].footprints.samples_of(first, last);
    for (std::size_t p = 0; p < losses_[s].patches.size(); ++p) {
      const double share = whole(losses_[s].patches[p]);
      for (int k = std::max(0, from); k < to; ++k) {
        const auto i = static_cast<std::size_t>(k);
        if (!samples_->counts(s, p, i)) continue;
        const auto seen = losses_[s].footprints.seen()[i];
        for (const SeenColumn& a : seen) {
          if (a.column < first || a.column > last) continue;
          const auto row = static_cast<std::size_t>(a.column - first);
          const double weight = share * share * a.weight / variance(s, p, i);
          for (const SeenColumn& b : seen) {
            if (b.column >= first && b.column <= last)
              out[row * n + static_cast<std::size_t>(b.column - first)] += weight * b.weight;
          }
        }
      }
    }
  }
  std::vector<Shared> shared;  // W^T N^-1 B, by column
  for (int c = first; c <= last; ++c) shared.push_back(shared_with({c, {1.0}, std::nullopt}));
  for (std::size_t row = 0; row < n; ++row) {
    if (shared[row].part.empty()) continue;
    std::vector<double> explained(unknowns_.size(), 0.0);
    std::copy(shared[row].part.begin(), shared[row].part.end(),
              explained.begin() + static_cast<std::ptrdiff_t>(shared[row].range.from));
    system_->solve(explained);
    for (std::size_t c = 0; c < n; ++c) {
      const auto& part = shared[c].part;
      out[row * n + c] -=
          std::inner_product(part.begin(), part.end(),
                             explained.begin() + static_cast<std::ptrdiff_t>(shared[c].range.from), 0.0);
    }
  }
  return out;
}

// |N^-1/2 B n|^2 - |L^-1 W^T N^-1 B n|^2. What a loss shares with unknowns fades over a few band widths
// beyond its own: farther the second term is left out.
double PageFit::information_of(const Loss& loss) const {
  constexpr std::size_t kFade_bands = 3;
  Shared shared = shared_with(loss);
  if (shared.part.empty()) return shared.own;
  const std::size_t to = std::min(unknowns_.size(), shared.range.to + kFade_bands * samples_->band());
  shared.part.resize(to - shared.range.from);
  return shared.own - system_->whitened_square(shared.range.from, shared.part);
}

}  // namespace scrapetrace::diagnose
