#pragma once
// What a page says about the loss of each single column, once its jets' volumes and its mottle are known as
// well as the page itself can tell them.
//
// A jet lays one column in every pass, so its volume shows on several columns; residue takes ink from some of
// them and not from others. To first order the mean losses y of all patches are y = B l + W d + n: B blends
// the columns' losses l into samples, W d are the jets' volumes per ink and each patch's slow mottle, both
// with priors, n is white. With d integrated out, y has the covariance C = N + W D W^T, and the derivative of
// the log likelihood by l at l = 0 is B^T C^-1 y. By Woodbury's identity C^-1 y = N^-1 (y - W m), where
// (D^-1 + W^T N^-1 W) m = W^T N^-1 y is a band system when the unknowns are ordered by place.
// The matched filter for a scrape with touch counts n(c) is sum n(c) evidence(c)
// (Kay, Fundamentals of Statistical Signal Processing II, 1998, section 4.4; from memory).

#include <limits>
#include <memory>
#include <vector>

#include "diagnose/scene.h"
#include "geometry/column_map.h"

namespace scrapetrace::diagnose {

class PageFit;  // losses and unknowns with their band system, solved

struct ColumnEvidence {
  std::vector<double> value;                // per column of the drum, 0 where the scans show nothing of it,
  std::vector<std::vector<double>> by_ink;  // and the parts of it that the inks have; empty without `fit`
  // Per scan: its noise as given, with what jets, mottle and grain leave unexplained on this page.
  std::vector<std::vector<InkNoise>> noise;
  std::shared_ptr<const PageFit> fit;  // null: the page could not be solved, all values are 0

  // B^T C^-1 B = B^T N^-1 B - (W^T N^-1 B)^T (D^-1 + W^T N^-1 W)^-1 (W^T N^-1 B) for the columns [first,
  // last]: the covariance of their evidence, and what a loss adds to it. Row by row. Needs `fit`.
  [[nodiscard]] std::vector<double> information(int first, int last) const;
};

// All scans, which share their jets; `noise` per scan. Samples within `blind_mm` are left out: what is wrong
// there is known, or expected. Solved four times: the first three show what is wrong with the scans and how
// well each patch is explained, and the last weighs it accordingly. The first `asked` scans are asked about;
// others, of the same machine at another time, only help to know the jets. `layout` and `columns` must
// outlive the answer.
ColumnEvidence column_evidence(const Layout& layout, const geometry::ColumnMap& columns,
                               const std::vector<PreparedScan>& scans,
                               const std::vector<std::vector<InkNoise>>& noise,
                               const std::vector<Interval>& blind_mm,
                               std::size_t asked = std::numeric_limits<std::size_t>::max(), int threads = 1);

}  // namespace scrapetrace::diagnose
