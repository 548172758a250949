// Quadratic forms against Eigen's.
#include "likelihood/quadratic.h"

#include <gtest/gtest.h>

#include <Eigen/Core>

namespace scrapetrace::diagnose {
namespace {

using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

TEST(QuadraticForms, AreEigensOnAnyBlock) {
  constexpr double kRounding = 1e-12;
  constexpr Eigen::Index kAll = 70;
  std::srand(3);
  const Rows half = Rows::Random(kAll, kAll);
  const Rows matrix = half + half.transpose();
  for (const Eigen::Index m : {0, 1, 3, 4, 7, 8, 9, 16, 17, 31, 63}) {
    for (const Eigen::Index from : {Eigen::Index{0}, kAll - m}) {
      const Rows block = matrix.block(from, from, m, m);
      const Eigen::VectorXd a = Eigen::VectorXd::Random(m);
      const Eigen::VectorXd b = Eigen::VectorXd::Random(m);
      const auto forms = quadratic_forms(matrix.data() + from * kAll + from, kAll,
                                         static_cast<std::size_t>(m), a.data(), b.data());
      EXPECT_NEAR(forms.aa, m == 0 ? 0 : a.dot(block * a), kRounding * kAll) << m;
      EXPECT_NEAR(forms.ab, m == 0 ? 0 : a.dot(block * b), kRounding * kAll) << m;
      EXPECT_NEAR(forms.bb, m == 0 ? 0 : b.dot(block * b), kRounding * kAll) << m;
      EXPECT_NEAR(dot(a.data(), b.data(), static_cast<std::size_t>(m)), m == 0 ? 0 : a.dot(b), kRounding);
    }
  }
}

}  // namespace
}  // namespace scrapetrace::diagnose
