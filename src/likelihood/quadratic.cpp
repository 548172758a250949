#include "likelihood/quadratic.h"

#include <cstring>

#include "base/wide.h"

// Every function that hands a vector on is inlined: no two processors have to agree on how.
#pragma GCC diagnostic ignored "-Wpsabi"

namespace scrapetrace::diagnose {

namespace {

// Numbers side by side, in a vector of GCC's and Clang's: what a compiler makes of loops over arrays is many
// times slower. Their sums have one order, whatever the processor's vectors are.
using Four = double __attribute__((vector_size(4 * sizeof(double))));

#define SCRAPETRACE_INLINE [[gnu::always_inline]] inline

SCRAPETRACE_INLINE Four four(const double* from) {
  Four out;
  std::memcpy(&out, from, sizeof out);
  return out;
}

SCRAPETRACE_INLINE double total(const Four& v) {
  return (v[0] + v[1]) + (v[2] + v[3]);
}

// Sums of rows times factors, over four columns.
struct FourColumns {
  static constexpr std::size_t kColumns = 4;
  Four v{};
  SCRAPETRACE_INLINE void add(const double* row, double factor) { v += four(row) * factor; }
  SCRAPETRACE_INLINE void twice() { v *= 2; }
  [[nodiscard]] SCRAPETRACE_INLINE double times(const double* other) const { return total(v * four(other)); }
};

// Over sixteen: as many as stay in registers for two factors.
struct SixteenColumns {
  static constexpr std::size_t kColumns = 16;
  Four v0{};
  Four v1{};
  Four v2{};
  Four v3{};
  SCRAPETRACE_INLINE void add(const double* row, double factor) {
    v0 += four(row) * factor;
    v1 += four(row + 4) * factor;
    v2 += four(row + 8) * factor;
    v3 += four(row + 12) * factor;
  }
  SCRAPETRACE_INLINE void twice() { v0 *= 2, v1 *= 2, v2 *= 2, v3 *= 2; }
  [[nodiscard]] SCRAPETRACE_INLINE double times(const double* other) const {
    return total((v0 * four(other) + v1 * four(other + 4)) + (v2 * four(other + 8) + v3 * four(other + 12)));
  }
};

// Adds what some columns of the lower triangle give, the first of them `from`.
template <class Columns>
SCRAPETRACE_INLINE void add_columns(const double* block, std::size_t stride, std::size_t m, std::size_t from,
                                    const double* a, const double* b, QuadraticForms& out) {
  constexpr std::size_t kColumns = Columns::kColumns;
  Columns with_a;
  Columns with_b;
  for (std::size_t j = from + kColumns; j < m; ++j) {
    with_a.add(block + j * stride + from, a[j]);
    with_b.add(block + j * stride + from, b[j]);
  }
  // Below the square on the diagonal every entry stands for two.
  with_a.twice();
  with_b.twice();
  for (std::size_t j = from; j < from + kColumns; ++j) {
    with_a.add(block + j * stride + from, a[j]);
    with_b.add(block + j * stride + from, b[j]);
  }
  out.aa += with_a.times(a + from);
  out.ab += 0.5 * (with_a.times(b + from) + with_b.times(a + from));
  out.bb += with_b.times(b + from);
}

// The same of one of the last three columns.
SCRAPETRACE_INLINE void add_column(const double* block, std::size_t stride, std::size_t m, std::size_t from,
                                   const double* a, const double* b, QuadraticForms& out) {
  const double diagonal = block[from * stride + from];
  double below_a = 0;
  double below_b = 0;
  for (std::size_t j = from + 1; j < m; ++j) {
    below_a += block[j * stride + from] * a[j];
    below_b += block[j * stride + from] * b[j];
  }
  out.aa += a[from] * (diagonal * a[from] + 2 * below_a);
  out.ab += a[from] * (diagonal * b[from] + below_b) + b[from] * below_a;
  out.bb += b[from] * (diagonal * b[from] + 2 * below_b);
}

}  // namespace

SCRAPETRACE_WIDE double dot(const double* a, const double* b, std::size_t n) {
  Four even{};
  Four odd{};
  std::size_t i = 0;
  for (; i + 8 <= n; i += 8) {
    even += four(a + i) * four(b + i);
    odd += four(a + i + 4) * four(b + i + 4);
  }
  if (i + 4 <= n) {
    even += four(a + i) * four(b + i);
    i += 4;
  }
  double rest = 0;
  for (; i < n; ++i) rest += a[i] * b[i];
  return total(even + odd) + rest;
}

SCRAPETRACE_WIDE QuadraticForms quadratic_forms(const double* block, std::size_t stride, std::size_t m,
                                                const double* a, const double* b) {
  QuadraticForms out;
  std::size_t from = 0;
  for (; from + SixteenColumns::kColumns <= m; from += SixteenColumns::kColumns)
    add_columns<SixteenColumns>(block, stride, m, from, a, b, out);
  for (; from + FourColumns::kColumns <= m; from += FourColumns::kColumns)
    add_columns<FourColumns>(block, stride, m, from, a, b, out);
  for (; from < m; ++from) add_column(block, stride, m, from, a, b, out);
  return out;
}

#undef SCRAPETRACE_INLINE

}  // namespace scrapetrace::diagnose
