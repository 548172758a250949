#include "diagnose/banded_cholesky.h"

#include <algorithm>
#include <cmath>

#include "base/wide.h"
#include "diagnose/quadratic.h"

namespace scrapetrace::diagnose {

BandedCholesky::BandedCholesky(std::size_t size, std::size_t band)
    : size_(size), band_(std::min(band, size > 0 ? size - 1 : 0)), band_values_(size * (band_ + 1), 0.0) {
  for (std::size_t i = 0; i < size; ++i) first_.push_back(i);
}

bool BandedCholesky::factor() {
  inverse_diagonal_.assign(size_, 0.0);
  for (std::size_t i = 0; i < size_; ++i) {
    const std::size_t first = first_[i];
    for (std::size_t j = first; j <= i; ++j) {
      const std::size_t common = std::max(first, first_[j]);
      const double* left = row(i) + (common + band_ - i);
      const double sum = at(i, j) - dot(left, row(j) + (common + band_ - j), j - common);
      if (j < i) {
        at(i, j) = sum * inverse_diagonal_[j];
      } else {
        if (!(sum > 0)) return false;
        at(i, i) = std::sqrt(sum);
        inverse_diagonal_[i] = 1 / at(i, i);
      }
    }
  }
  return true;
}

void BandedCholesky::whiten(std::vector<double>& v) const {
  for (std::size_t i = 0; i < size_; ++i) {
    const std::size_t first = first_[i];
    const double* l = row(i) + (first + band_ - i);
    v[i] = (v[i] - dot(l, v.data() + first, i - first)) * inverse_diagonal_[i];
  }
}

double BandedCholesky::whitened_square(std::vector<double>& v, std::size_t from, std::size_t to) const {
  double sum = 0;
  for (std::size_t i = from; i < to; ++i) {
    const std::size_t first = std::max(from, first_[i]);
    const double* l = row(i) + (first + band_ - i);
    v[i] = (v[i] - dot(l, v.data() + first, i - first)) * inverse_diagonal_[i];
    sum += v[i] * v[i];
  }
  return sum;
}

SCRAPETRACE_WIDE void BandedCholesky::whiten_rows(double* rows, std::size_t stride,
                                                  const std::vector<std::size_t>& reached) const {
  for (std::size_t i = 0; i < size_; ++i) {
    const std::size_t first = first_[i];
    const double* l = row(i) + (first + band_ - i);
    double* out = rows + i * stride;
    for (std::size_t k = first; k < i; ++k) {
      const double factor = l[k - first];
      if (factor == 0) continue;
      const double* in = rows + k * stride;
      for (std::size_t c = 0; c < reached[k]; ++c) out[c] -= factor * in[c];
    }
    for (std::size_t c = 0; c < reached[i]; ++c) out[c] *= inverse_diagonal_[i];
  }
}

void BandedCholesky::solve(std::vector<double>& v) const {
  whiten(v);
  for (std::size_t i = size_; i-- > 0;) {
    v[i] *= inverse_diagonal_[i];
    const std::size_t first = first_[i];
    const double* l = row(i) + (first + band_ - i);
    for (std::size_t k = first; k < i; ++k) v[k] -= l[k - first] * v[i];
  }
}

double BandedCholesky::log_determinant() const {
  double sum = 0;
  for (double d : inverse_diagonal_) sum -= 2 * std::log(d);
  return sum;
}

}  // namespace scrapetrace::diagnose
