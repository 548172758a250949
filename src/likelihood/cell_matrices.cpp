#include "likelihood/cell_matrices.h"

#include <Eigen/Core>

#include "likelihood/quadratic.h"

namespace scrapetrace::diagnose {

namespace {

using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
using Eigen::Index;
using Column = Eigen::Map<const Eigen::VectorXd>;

Column column(const std::vector<double>& v) {
  return {v.data(), static_cast<Index>(v.size())};
}

// Blend of cells into samples, whitened: row i belongs to sample i.
Rows whitened_blend(const Scene& scene, const Trace& trace, const Blend& blend) {
  const std::size_t samples = trace.value.size();
  Rows rows = Rows::Zero(static_cast<Index>(samples), static_cast<Index>(scene.cells.size()));
  std::vector<std::size_t> reached(samples);  // cells that this sample or one before it sees
  std::size_t reach = 0;
  for (std::size_t i = 0; i < samples; ++i) {
    // Bare paper is near one but not exactly: what its cells say is relative to the baseline.
    const double scale = trace.ink < 0 ? trace.base[i] : 1.0;
    const auto first = static_cast<std::size_t>(blend.first[i]);
    for (std::size_t k = 0; k < blend.weight[i].size(); ++k)
      rows(static_cast<Index>(i), static_cast<Index>(first + k)) = scale * blend.weight[i][k];
    reach = std::max(reach, first + blend.weight[i].size());
    reached[i] = reach;
  }
  trace.noise->whiten_rows(rows.data(), scene.cells.size(), reached);
  for (const auto& direction : trace.nuisance) {
    const Eigen::RowVectorXd along = column(direction).transpose() * rows;
    rows.noalias() -= column(direction) * along;
  }
  return rows;
}

}  // namespace

void whiten_free_of_nuisance(const Trace& trace, std::vector<double>& v) {
  trace.noise->whiten(v);
  for (const auto& direction : trace.nuisance) {
    const double along = dot(v.data(), direction.data(), v.size());
    for (std::size_t i = 0; i < v.size(); ++i) v[i] -= along * direction[i];
  }
}

CellMatrices make_cell_matrices(const Scene& scene, const Trace& trace, const Blend& blend) {
  const std::size_t n = scene.cells.size();
  const auto size = static_cast<Index>(n);
  CellMatrices out;
  std::vector<double> y = trace.value;
  whiten_free_of_nuisance(trace, y);
  out.yy = dot(y.data(), y.data(), y.size());
  const Rows columns = whitened_blend(scene, trace, blend);
  out.a.assign(n * n, 0.0);
  out.b.assign(n, 0.0);
  Eigen::Map<Rows> a(out.a.data(), size, size);
  a.selfadjointView<Eigen::Lower>().rankUpdate(columns.transpose());
  a.triangularView<Eigen::StrictlyUpper>() = a.transpose();
  Eigen::Map<Eigen::VectorXd>(out.b.data(), size).noalias() = columns.transpose() * column(y);
  return out;
}

}  // namespace scrapetrace::diagnose
