#include "likelihood/banded_cholesky.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "base/wide.h"
#include "likelihood/quadratic.h"

namespace scrapetrace::diagnose {

BandedCholesky::BandedCholesky(std::size_t size, std::size_t band)
    : size_(size), band_(std::min(band, size > 0 ? size - 1 : 0)), band_values_(size * (band_ + 1), 0.0) {
  for (std::size_t i = 0; i < size; ++i) first_.push_back(i);
}

// Four columns at a time; what they explain of all that follows is taken off before the next four. So the
// innermost loop goes along a row, and no sum waits for the one before it.
SCRAPETRACE_WIDE bool BandedCholesky::factor() {
  inverse_diagonal_.assign(size_, 0.0);
  Panel column;  // of the factor: entry i - j is row i's, j the panel's first
  for (auto& c : column) c.assign(band_ + kPanel, 0.0);
  for (std::size_t j = 0; j < size_; j += kPanel) {
    const std::size_t width = std::min(kPanel, size_ - j);
    const std::size_t end = std::min(size_, j + width + band_);
    for (std::size_t p = 0; p < width; ++p) {
      if (!factor_column(j, p, end, column)) return false;
    }
    for (std::size_t p = width; p < kPanel; ++p) std::fill(column[p].begin(), column[p].end(), 0.0);
    const double* const c0 = column[0].data() + width;
    const double* const c1 = column[1].data() + width;
    const double* const c2 = column[2].data() + width;
    const double* const c3 = column[3].data() + width;
    for (std::size_t i = j + width; i < end; ++i) {
      if (first_[i] >= j + width) continue;
      const std::size_t n = i - j - width;
      const double f0 = c0[n];
      const double f1 = c1[n];
      const double f2 = c2[n];
      const double f3 = c3[n];
      double* const out = band_values_.data() + (i + 1) * band_ + j + width;
      for (std::size_t k = 0; k <= n; ++k)
        out[k] = (((out[k] - f0 * c0[k]) - f1 * c1[k]) - f2 * c2[k]) - f3 * c3[k];
    }
  }
  return true;
}

// Column p of the panel at j, whose earlier columns are there.
bool BandedCholesky::factor_column(std::size_t j, std::size_t p, std::size_t end, Panel& column) {
  const std::size_t c = j + p;
  for (std::size_t i = c; i < end; ++i) {
    double& out = column[p][i - j];
    out = 0;
    if (first_[i] > c) continue;
    out = at(i, c);
    for (std::size_t q = 0; q < p; ++q) out -= column[q][i - j] * column[q][p];
    if (i == c) {
      if (!(out > 0)) return false;
      out = std::sqrt(out);
      inverse_diagonal_[c] = 1 / out;
    } else {
      out *= inverse_diagonal_[c];
    }
    at(i, c) = out;
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
