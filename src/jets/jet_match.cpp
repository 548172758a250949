#include "jets/jet_match.h"

#include <algorithm>
#include <cmath>

namespace scrapetrace::jets {

namespace {

double placed(double x_mm, const Trial& trial, double middle_mm) {
  return x_mm + trial.shift_mm + trial.stretch * (x_mm - middle_mm);
}

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

}  // namespace

JetMatch::JetMatch(const JetData& data, const Layout& layout, const geometry::ColumnMap& columns,
                   const Trial& base)
    : data_(data) {
  const double middle = data.middle_mm();
  const auto seen = [&](double x_mm) {
    const double at = placed(x_mm, base, middle);
    return at >= data.window_mm().from_mm && at <= data.window_mm().to_mm;
  };
  combs_ = make_combs(layout, columns, seen, data.spread());
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

double JetMatch::explained(const Trial& trial) const {
  double sum = 0;
  std::vector<double> t(combs_.jets.size());
  for (std::size_t k = 0; k < normal_.size(); ++k) {
    const JetData::Ink& ink = data_.inks()[k];
    for (std::size_t j = 0; j < t.size(); ++j) {
      t[j] = 0;
      for (const double x : combs_.jets[j]) t[j] += data_.spread_at(ink, placed(x, trial, data_.middle_mm()));
    }
    normal_[k].whiten(t);
    double square = 0;
    for (const double value : t) square += value * value;
    sum += square / (2 * ink.noise_variance);
  }
  return sum;
}

double JetMatch::gain(const Trial& trial) const {
  return explained(trial) - 0.5 * log_determinants_;
}

double JetMatch::left_over(const Trial& trial) const {
  double all = 0;
  for (const JetData::Ink& ink : data_.inks()) all += data_.square(ink) / ink.noise_variance;
  return std::max(0.0, all - 2 * explained(trial)) / std::max(1.0, data_.samples());
}

}  // namespace scrapetrace::jets
