#pragma once
// A trace's likelihood in terms of its cells: with samples y, blend B and precision P, what is needed of
// them.

#include <vector>

#include "likelihood/scene.h"

namespace scrapetrace::diagnose {

struct CellMatrices {
  std::vector<double> a;  // B^T P B, row-major over all cells
  std::vector<double> b;  // B^T P y
  double yy = 0;          // y^T P y
};
CellMatrices make_cell_matrices(const Scene& scene, const Trace& trace, const Blend& blend);

// Whitens samples and takes the baseline's offset and slope out.
void whiten_free_of_nuisance(const Trace& trace, std::vector<double>& v);

}  // namespace scrapetrace::diagnose
