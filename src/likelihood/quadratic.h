#pragma once
// Quadratic forms of part of a symmetric matrix, for two vectors at once.

#include <cstddef>

namespace scrapetrace::diagnose {

struct QuadraticForms {
  double aa = 0;  // a^T M a
  double ab = 0;
  double bb = 0;
};

// M is the m x m block of a symmetric matrix whose rows lie `stride` apart, `block` its first entry; only its
// lower triangle is read. Additions are in one fixed order, whatever instructions the processor has.
QuadraticForms quadratic_forms(const double* block, std::size_t stride, std::size_t m, const double* a,
                               const double* b);

// Sum of a[i] b[i], in the same fixed order.
double dot(const double* a, const double* b, std::size_t n);

}  // namespace scrapetrace::diagnose
