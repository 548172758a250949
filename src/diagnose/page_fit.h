#pragma once
// The losses of all patches of a page as jets' volumes, mottle and noise, solved at once (column_evidence.h
// has the equations).

#include <memory>
#include <optional>
#include <vector>

#include "diagnose/banded_cholesky.h"
#include "diagnose/page_samples.h"
#include "diagnose/page_unknowns.h"

namespace scrapetrace::diagnose {

class PageFit {
 public:
  // The first `asked` scans are asked about; the others only help to know the jets. `layout` and `columns`
  // must outlive it. The answers do not depend on the threads.
  PageFit(const Layout& layout, const geometry::ColumnMap& columns, std::vector<ScanLosses> losses,
          const std::vector<std::vector<InkNoise>>& noise, std::size_t asked, int threads);
  PageFit(const PageFit&) = delete;  // the unknowns refer to the losses
  PageFit& operator=(const PageFit&) = delete;

  // False when the band system is not positive definite; then nothing below may be called.
  [[nodiscard]] bool solve();

  // Raises the patches' variances to what their residuals show, and the inks' noise with those of their lone
  // patches. Takes effect with the next solve().
  void weigh_by_residuals(std::vector<std::vector<InkNoise>>& noise);

  // Combines each patch's views to such as have independent noise (independent_views.h). To be called after
  // seen_better(): they are no longer what a scan saw. Takes effect with the next solve().
  void make_views_independent();

  // Lets jets go that stand out. Takes effect with the next solve().
  void free_odd_jets() { unknowns_.free_odd_jets(likeliest_); }

  // The losses less what light's bent response to uneven columns adds to them, and where their scans lie as
  // the jets themselves show it: the next fit starts from these.
  [[nodiscard]] std::vector<ScanLosses> seen_better(const std::vector<PreparedScan>& scans) const;

  // What a loss takes: `part[k]` of column first + k, of all inks or of one.
  struct Loss {
    int first = 0;
    std::vector<double> part;
    std::optional<std::size_t> ink;
  };

  // B^T C^-1 y per ink and column: their sum over the inks is of a loss of all inks alike.
  [[nodiscard]] std::vector<std::vector<double>> evidence() const;
  // The same of losses that are n and nothing else: what such a loss adds to the evidence.
  [[nodiscard]] std::vector<std::vector<double>> evidence_of(const Loss& loss) const;
  // B^T C^-1 B for the columns [first, last], all inks alike, row by row.
  [[nodiscard]] std::vector<double> information(int first, int last) const;
  // n^T B^T C^-1 B n: what information() says, for much less.
  [[nodiscard]] double information_of(const Loss& loss) const;

 private:
  [[nodiscard]] double variance(std::size_t scan, std::size_t patch, std::size_t sample) const {
    return losses_[scan].patches[patch].variance[sample];
  }
  // What samples see of a loss, of a scan: `part[k]` of sample first + k; the others see nothing of it.
  struct Seen {
    int first = 0;
    std::vector<double> part;
  };
  [[nodiscard]] Seen seen_of(const Loss& loss, std::size_t scan) const;
  // What a loss adds to samples, and has in common with the unknowns: W^T N^-1 B n of those in `range`.
  struct Shared {
    PageSamples::Range range;
    std::vector<double> part;
    double own = 0;  // n^T B^T N^-1 B n
  };
  [[nodiscard]] Shared shared_with(const Loss& loss) const;
  // Loss of all inks alike that a scan's views show, by sample of its grid; 0 where none does.
  [[nodiscard]] std::vector<double> loss_by_place(std::size_t scan) const;
  // B^T N^-1 of what is left over, per ink and column.
  [[nodiscard]] std::vector<std::vector<double>> carried_to_columns(const BySample& left) const;
  // y - W m, where m are the likeliest unknowns given y.
  [[nodiscard]] BySample left_over(const BySample& y, std::vector<double>* likeliest) const;
  // As the unknowns have them, per scan, view and column.
  using ByColumn = std::vector<std::vector<std::vector<double>>>;
  [[nodiscard]] ByColumn losses_of_columns() const;
  using Patches = std::vector<std::vector<PatchLoss>>;  // per scan
  // Where the scans lie, by samples that lose what `by` says and jets that lay what the unknowns say.
  [[nodiscard]] std::vector<ScanLie> lies_again(const std::vector<PreparedScan>& scans,
                                                const Patches& by) const;

  const Layout& layout_;
  const geometry::ColumnMap& columns_;
  std::size_t asked_;
  int threads_;
  std::vector<ScanLosses> losses_;
  PageUnknowns unknowns_;
  std::optional<PageSamples> samples_;  // of the views as they were solved last
  std::unique_ptr<BandedCholesky> system_;
  std::vector<double> likeliest_;
  BySample residuals_;
};

}  // namespace scrapetrace::diagnose
