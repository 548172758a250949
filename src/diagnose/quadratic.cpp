#include "diagnose/quadratic.h"

#include <array>

#include "base/wide.h"

namespace scrapetrace::diagnose {

namespace {

// Partial sums side by side: what the compiler turns into vectors of any width without changing a result.
constexpr std::size_t kLanes = 8;
using Lanes = std::array<double, kLanes>;

inline double total(const Lanes& lanes) {
  return ((lanes[0] + lanes[4]) + (lanes[1] + lanes[5])) + ((lanes[2] + lanes[6]) + (lanes[3] + lanes[7]));
}

inline double sum_of_products(const double* a, const double* b, std::size_t n) {
  Lanes lanes{};
  std::size_t i = 0;
  for (; i + kLanes <= n; i += kLanes) {
    for (std::size_t k = 0; k < kLanes; ++k) lanes[k] += a[i + k] * b[i + k];
  }
  for (std::size_t k = 0; i < n; ++i, ++k) lanes[k] += a[i] * b[i];
  return total(lanes);
}

struct TwoSums {
  double a;
  double b;
};

// Products of one row with two vectors.
inline TwoSums row_products(const double* row, const double* a, const double* b, std::size_t n) {
  Lanes with_a{};
  Lanes with_b{};
  std::size_t i = 0;
  for (; i + kLanes <= n; i += kLanes) {
    for (std::size_t k = 0; k < kLanes; ++k) with_a[k] += row[i + k] * a[i + k];
    for (std::size_t k = 0; k < kLanes; ++k) with_b[k] += row[i + k] * b[i + k];
  }
  for (std::size_t k = 0; i < n; ++i, ++k) {
    with_a[k] += row[i] * a[i];
    with_b[k] += row[i] * b[i];
  }
  return {total(with_a), total(with_b)};
}

}  // namespace

SCRAPETRACE_WIDE double dot(const double* a, const double* b, std::size_t n) {
  return sum_of_products(a, b, n);
}

SCRAPETRACE_WIDE QuadraticForms quadratic_forms(const double* block, std::size_t stride, std::size_t m,
                                                const double* a, const double* b) {
  QuadraticForms out;
  for (std::size_t j = 0; j < m; ++j) {
    const double* row = block + j * stride;
    const TwoSums before = row_products(row, a, b, j);
    out.aa += a[j] * (2 * before.a + row[j] * a[j]);
    out.ab += b[j] * (before.a + row[j] * a[j]) + a[j] * before.b;
    out.bb += b[j] * (2 * before.b + row[j] * b[j]);
  }
  return out;
}

}  // namespace scrapetrace::diagnose
