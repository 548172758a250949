// The banded factor against Eigen's dense one.

#include "likelihood/banded_cholesky.h"

#include <gtest/gtest.h>

#include <Eigen/Cholesky>
#include <ostream>
#include <random>

namespace scrapetrace::diagnose {
namespace {

constexpr double kRounding = 1e-10;

struct Shape {
  int size, band;
};
void PrintTo(const Shape& shape, std::ostream* out) {
  *out << "size " << shape.size << " band " << shape.band;
}

// B B^T of a banded B with a strong diagonal.
Eigen::MatrixXd random_matrix(Shape shape, unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> value(-1, 1);
  Eigen::MatrixXd b = Eigen::MatrixXd::Zero(shape.size, shape.size);
  for (int i = 0; i < shape.size; ++i) {
    for (int j = std::max(0, i - shape.band); j <= i; ++j) b(i, j) = value(random);
    b(i, i) += 2;
  }
  return b * b.transpose();
}

// Of rows that reach back by 1 to 9 columns, in turn: entries before a row's first stay zero in the factor.
Eigen::MatrixXd ragged_matrix(int size) {
  Eigen::MatrixXd l = Eigen::MatrixXd::Zero(size, size);
  for (int i = 0; i < size; ++i) {
    for (int j = std::max(0, i - 1 - (4 * i) % 9); j <= i; ++j)
      l(i, j) = i == j ? 2 : 0.1 * (1 + (i + j) % 5);
  }
  Eigen::MatrixXd out = l * l.transpose();
  for (int i = 0; i < size; ++i) {
    for (int j = 0; j < i; ++j) {
      if (l(i, j) == 0) out(i, j) = out(j, i) = 0;
    }
    out(i, i) += 4;
  }
  return out;
}

// Entries arrive in two halves: the factor adds them up.
BandedCholesky banded(const Eigen::MatrixXd& matrix, int band) {
  BandedCholesky out(static_cast<std::size_t>(matrix.rows()), static_cast<std::size_t>(band));
  for (int i = 0; i < matrix.rows(); ++i) {
    for (int j = std::max(0, i - band); j <= i; ++j) {
      if (matrix(i, j) == 0) continue;
      const auto row = static_cast<std::size_t>(i);
      const auto column = static_cast<std::size_t>(j);
      out.add(row, column, 0.5 * matrix(i, j));
      out.add(row, column, 0.5 * matrix(i, j));
    }
  }
  return out;
}

class Factor : public ::testing::TestWithParam<Shape> {};

TEST_P(Factor, IsEigensDenseOne) {
  for (unsigned seed = 1; seed <= 5; ++seed) {
    const Eigen::MatrixXd matrix = random_matrix(GetParam(), seed);
    auto own = banded(matrix, GetParam().band);
    ASSERT_TRUE(own.factor());
    const Eigen::LLT<Eigen::MatrixXd> dense(matrix);
    const Eigen::MatrixXd l = dense.matrixL();
    EXPECT_NEAR(own.log_determinant(), 2 * l.diagonal().array().log().sum(), kRounding);
    std::vector<double> v;
    for (int i = 0; i < GetParam().size; ++i) v.push_back(std::sin(3.0 * i + seed));
    const Eigen::VectorXd want =
        l.triangularView<Eigen::Lower>().solve(Eigen::Map<Eigen::VectorXd>(v.data(), GetParam().size));
    own.whiten(v);
    for (int i = 0; i < GetParam().size; ++i) {
      EXPECT_NEAR(v[static_cast<std::size_t>(i)], want(i), kRounding) << i;
    }
  }
}

TEST_P(Factor, SolvesWhatEigenSolves) {
  const Eigen::MatrixXd matrix = random_matrix(GetParam(), 11);
  BandedCholesky factor = banded(matrix, GetParam().band);
  ASSERT_TRUE(factor.factor());
  const Eigen::VectorXd right = Eigen::VectorXd::LinSpaced(matrix.rows(), -1, 2);
  std::vector<double> solved(right.data(), right.data() + right.size());
  factor.solve(solved);
  const Eigen::VectorXd expected = matrix.llt().solve(right);
  for (int i = 0; i < matrix.rows(); ++i)
    EXPECT_NEAR(solved[static_cast<std::size_t>(i)], expected(i), kRounding * (1 + std::abs(expected(i))));
}

TEST(BandedCholesky, RowsMayBeginLaterThanTheBand) {
  const Eigen::MatrixXd matrix = ragged_matrix(60);
  BandedCholesky factor = banded(matrix, 12);
  ASSERT_TRUE(factor.factor());
  const Eigen::MatrixXd l = matrix.llt().matrixL();
  EXPECT_NEAR(factor.log_determinant(), 2 * l.diagonal().array().log().sum(), kRounding);
  std::vector<double> v(60, 0.0);
  for (std::size_t i = 20; i < 60; ++i) v[i] = std::sin(3.0 * static_cast<double>(i));
  const Eigen::VectorXd right = Eigen::Map<Eigen::VectorXd>(v.data(), 60);
  std::vector<double> solved = v;
  factor.solve(solved);
  const Eigen::VectorXd want = matrix.llt().solve(right);
  for (int i = 0; i < 60; ++i) EXPECT_NEAR(solved[static_cast<std::size_t>(i)], want(i), kRounding) << i;
  const Eigen::VectorXd white = l.triangularView<Eigen::Lower>().solve(right);
  std::vector<double> rows = v;
  factor.whiten_rows(rows.data(), 1, std::vector<std::size_t>(60, 1));
  for (int i = 0; i < 60; ++i) EXPECT_NEAR(rows[static_cast<std::size_t>(i)], white(i), kRounding) << i;
}

INSTANTIATE_TEST_SUITE_P(BandedCholesky, Factor,
                         ::testing::Values(Shape{1, 0}, Shape{2, 1}, Shape{12, 0}, Shape{30, 1}, Shape{40, 7},
                                           Shape{9, 20}));

// Columns that begin at different rows, as the cells under a profile do.
TEST(BandedCholesky, WhitensTheColumnsOfAMatrixAsItDoesEach) {
  constexpr std::size_t kSize = 40;
  constexpr std::size_t kColumns = 23;
  const Eigen::MatrixXd matrix = random_matrix({static_cast<int>(kSize), 7}, 2);
  auto own = banded(matrix, 7);
  ASSERT_TRUE(own.factor());
  std::vector<double> rows(kSize * kColumns, 0.0);
  std::vector<std::size_t> reached;
  for (std::size_t i = 0; i < kSize; ++i) {
    reached.push_back(std::min(kColumns, 2 + i / 2));
    for (std::size_t c = 0; c < reached[i]; ++c)
      rows[i * kColumns + c] = std::cos(static_cast<double>(5 * i + c));
  }
  std::vector<double> whitened = rows;
  own.whiten_rows(whitened.data(), kColumns, reached);
  for (std::size_t c = 0; c < kColumns; ++c) {
    std::vector<double> column;
    for (std::size_t i = 0; i < kSize; ++i) column.push_back(rows[i * kColumns + c]);
    own.whiten(column);
    for (std::size_t i = 0; i < kSize; ++i)
      EXPECT_NEAR(whitened[i * kColumns + c], column[i], kRounding) << c << " " << i;
  }
}

TEST(BandedCholesky, SaysWhenAMatrixIsNotPositiveDefinite) {
  for (const double last : {0.5, 0.25, 0.2, -1.0}) {
    BandedCholesky matrix(3, 1);
    for (std::size_t i = 0; i < 3; ++i) matrix.add(i, i, i < 2 ? 1.0 : last);
    matrix.add(2, 1, 0.5);  // positive definite as long as last > 0.25
    EXPECT_EQ(matrix.factor(), last > 0.25) << last;
  }
  BandedCholesky zero(2, 1);
  EXPECT_FALSE(zero.factor());
}

}  // namespace
}  // namespace scrapetrace::diagnose
