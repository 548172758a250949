#include "jets/jet_match.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "base/wide.h"

namespace scrapetrace::jets {

namespace {

diagnose::BandedCholesky normal_matrix(const Combs& combs, double pitch_mm, double ratio) {
  std::size_t band = 0;
  for (const auto& row : combs.overlap) band = std::max(band, row.size());
  diagnose::BandedCholesky out(combs.jets.size(), band);
  for (std::size_t i = 0; i < combs.overlap.size(); ++i) {
    out.add(i, i, ratio);
    for (std::size_t k = 0; k < combs.overlap[i].size(); ++k)
      out.add(i + k, i, combs.overlap[i][k] / pitch_mm);
  }
  return out;
}

constexpr std::size_t kAtOnce = JetData::Spread::kAtOnce;

// Of the inks from `first` on, what each jet's columns see at each trial: [jet][trial][ink].
SCRAPETRACE_WIDE void see(const JetData::Spread& spread, std::size_t first,
                          const std::vector<std::vector<double>>& jets, const std::vector<Trial>& trials,
                          double middle_mm, double* out) {
  const double last = static_cast<double>(spread.steps) - 1;
  for (const std::vector<double>& jet : jets) {
    for (const Trial& trial : trials) {
      std::array<double, kAtOnce> sum{};
      for (const double x : jet) {
        const double at = (trial.placed(x, middle_mm) - spread.first_mm) / spread.step_mm;
        if (at < 0 || at >= last) continue;
        const auto k = static_cast<std::size_t>(at);
        const double t = at - static_cast<double>(k);
        const double* here = spread.value.data() + k * spread.width + first;
        const double* next = here + spread.width;
        for (std::size_t i = 0; i < kAtOnce; ++i) sum[i] += here[i] * (1 - t) + next[i] * t;
      }
      std::copy(sum.begin(), sum.end(), out);
      out += kAtOnce;
    }
  }
}

}  // namespace

JetMatch::JetMatch(const JetData& data, const Trial& base) : data_(data), base_(base) {
  const double middle = data.middle_mm();
  const auto seen = [&](double x_mm) { return data.shows(base.placed(x_mm, middle)); };
  combs_ = seen_combs(data.combs(), seen, data.spread());
  for (const JetData::Ink& ink : data.inks()) {
    const double ratio = ink.noise_variance / ink.jet_variance;
    auto normal = normal_matrix(combs_, data.pitch_mm(), ratio);
    if (!normal.factor()) {  // columns laid on one another: nothing to be told apart
      combs_ = {};
      normal_.clear();
      return;
    }
    log_determinants_ += normal.log_determinant() - static_cast<double>(combs_.jets.size()) * std::log(ratio);
    normal_.push_back(std::move(normal));
  }
}

std::vector<double> JetMatch::seen_by_jets(const std::vector<Trial>& trials) const {
  const std::size_t inks = data_.inks().size();
  const std::size_t jets = combs_.jets.size();
  const double middle = data_.middle_mm();
  std::vector<double> out(inks * jets * trials.size(), 0.0);
  std::vector<double> seen(jets * trials.size() * kAtOnce);
  for (std::size_t first = 0; first < inks; first += kAtOnce) {
    see(data_.spreads(), first, combs_.jets, trials, middle, seen.data());
    const double* from = seen.data();
    for (std::size_t j = 0; j < jets; ++j) {
      for (std::size_t n = 0; n < trials.size(); ++n, from += kAtOnce) {
        for (std::size_t i = first; i < std::min(inks, first + kAtOnce); ++i)
          out[(i * jets + j) * trials.size() + n] = from[i - first];
      }
    }
  }
  return out;
}

std::vector<double> JetMatch::explained(const std::vector<Trial>& trials) const {
  const std::size_t jets = combs_.jets.size();
  std::vector<double> seen = seen_by_jets(trials);
  const std::vector<std::size_t> all(jets, trials.size());
  std::vector<double> out(trials.size(), 0.0);
  for (std::size_t k = 0; k < normal_.size(); ++k) {
    double* rows = seen.data() + k * jets * trials.size();
    normal_[k].whiten_rows(rows, trials.size(), all);
    const double scale = 1 / (2 * data_.inks()[k].noise_variance);
    for (std::size_t j = 0; j < jets; ++j, rows += trials.size()) {
      for (std::size_t n = 0; n < trials.size(); ++n) out[n] += scale * rows[n] * rows[n];
    }
  }
  return out;
}

double JetMatch::gain(const Trial& trial) const {
  return explained({trial}).front() - 0.5 * log_determinants_;
}

std::vector<double> JetMatch::overlaps_with(const JetMatch& other, const DrumMap& here_from_other) const {
  std::vector<std::pair<double, std::size_t>> columns;  // ours: where, of which jet
  for (std::size_t j = 0; j < combs_.jets.size(); ++j) {
    for (const double x : combs_.jets[j]) columns.emplace_back(base_.placed(x, data_.middle_mm()), j);
  }
  std::sort(columns.begin(), columns.end());
  const std::size_t stride = other.combs_.jets.size();
  const double reach = 2 * data_.spread().reach_mm();
  std::vector<double> out(combs_.jets.size() * stride, 0.0);
  for (std::size_t k = 0; k < stride; ++k) {
    for (const double x : other.combs_.jets[k]) {
      const double at = here_from_other.at(other.base_.placed(x, other.data_.middle_mm()));
      auto column = std::lower_bound(columns.begin(), columns.end(), std::pair{at - reach, std::size_t{0}});
      for (; column != columns.end() && column->first < at + reach; ++column)
        out[column->second * stride + k] += data_.spread().overlap(column->first - at) / data_.pitch_mm();
    }
  }
  return out;
}

// With v ~ N(0, s^2) the mean of v^T G^T (N / s^2 + H^T H)^-1 G v / N, G = H^T H_other, is s^2 / N times the
// sum of the squares of L^-1 G.
double JetMatch::would_explain(const JetMatch& other, const DrumMap& here_from_other) const {
  const std::vector<double> overlaps = overlaps_with(other, here_from_other);
  const std::vector<std::size_t> all(combs_.jets.size(), other.combs_.jets.size());
  double sum = 0;
  for (std::size_t k = 0; k < normal_.size(); ++k) {
    std::vector<double> rows = overlaps;
    normal_[k].whiten_rows(rows.data(), other.combs_.jets.size(), all);
    const JetData::Ink& ink = data_.inks()[k];
    sum += std::inner_product(rows.begin(), rows.end(), rows.begin(), 0.0) * ink.jet_variance /
           ink.noise_variance;
  }
  return sum;
}

double JetMatch::would_print() const {
  double squares = 0;  // of H
  for (const auto& row : combs_.overlap) squares += row.empty() ? 0 : row.front() / data_.pitch_mm();
  double sum = data_.samples();
  for (const JetData::Ink& ink : data_.inks()) sum += squares * ink.jet_variance / ink.noise_variance;
  return sum;
}

std::vector<double> JetMatch::left_over(const std::vector<Trial>& trials) const {
  const double all = data_.square();
  std::vector<double> out = explained(trials);
  for (double& value : out) value = std::max(0.0, all - 2 * value) / std::max(1.0, data_.samples());
  return out;
}

}  // namespace scrapetrace::jets
