#pragma once
// PDF's transformation matrices (ISO 32000-1, 8.3.3).

namespace scrapetrace::document {

// x' = a x + c y + e, y' = b x + d y + f.
struct Matrix {
  double a = 1, b = 0, c = 0, d = 1, e = 0, f = 0;
};

// Applies `inner`, then `outer`.
inline Matrix then(const Matrix& inner, const Matrix& outer) {
  return {inner.a * outer.a + inner.b * outer.c,           inner.a * outer.b + inner.b * outer.d,
          inner.c * outer.a + inner.d * outer.c,           inner.c * outer.b + inner.d * outer.d,
          inner.e * outer.a + inner.f * outer.c + outer.e, inner.e * outer.b + inner.f * outer.d + outer.f};
}

}  // namespace scrapetrace::document
