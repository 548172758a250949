#pragma once
// Cholesky factor of a symmetric positive definite band matrix, for whitening profiles and for
// systems whose unknowns lie along a line.

#include <algorithm>
#include <array>
#include <cstddef>
#include <vector>

namespace scrapetrace::diagnose {

class BandedCholesky {
 public:
  // `size` rows; entries (i, j) with |i - j| <= band. Starts as zero.
  BandedCholesky(std::size_t size, std::size_t band);

  // Adds to the matrix at (i, j), j <= i <= j + band. Only before factor().
  void add(std::size_t i, std::size_t j, double value) {
    first_[i] = std::min(first_[i], j);
    at(i, j) += value;
  }
  // C = L L^T. Returns false, leaving the matrix unusable, when it is not positive definite.
  [[nodiscard]] bool factor();
  // v <- L^-1 v
  void whiten(std::vector<double>& v) const;
  // The same for the columns of a matrix of size() rows that lie `stride` apart. Of row i only the entries
  // before reached[i], which must not fall, may differ from zero; the others are left alone.
  void whiten_rows(double* rows, std::size_t stride, const std::vector<std::size_t>& reached) const;
  // v <- C^-1 v
  void solve(std::vector<double>& v) const;
  // log det C = 2 sum log L_ii
  [[nodiscard]] double log_determinant() const;
  [[nodiscard]] std::size_t size() const { return size_; }

 private:
  static constexpr std::size_t kPanel = 4;
  using Panel = std::array<std::vector<double>, kPanel>;
  bool factor_column(std::size_t j, std::size_t p, std::size_t end, Panel& column);
  double& at(std::size_t i, std::size_t j) { return band_values_[i * (band_ + 1) + (j + band_ - i)]; }
  [[nodiscard]] const double* row(std::size_t i) const { return band_values_.data() + i * (band_ + 1); }

  std::size_t size_;
  std::size_t band_;
  std::vector<double> band_values_;  // row i holds columns i - band .. i
  std::vector<std::size_t> first_;   // column of each row's first entry: rows of the factor begin there, too
  std::vector<double> inverse_diagonal_;
};

}  // namespace scrapetrace::diagnose
