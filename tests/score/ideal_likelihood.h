#pragma once
// The exact likelihood of a residue, given everything else: light under the forward model, Gaussian noise
// with the covariance of press and scanner.
//
// Light of a strip under kept fraction k, per channel: paper * exp(-k d + k^2 s), d the density (natural log)
// and s half its variance (mean of a log-normal). Noise, linearised in each ink's relative amount:
//   grain    independent per strip, its variance over the raster rows averaged
//   mottle   exp(-dx^2 / 2 l^2) across, averaged over the patch's length, per ink and patch
//   jets     one deviate per jet and ink, common to all its columns and all patches; linearised about the
//            volumes that the view holds
//   scanner  independent per sample, through the slope of the tone curve
// Channels are summed with the weights that suit scanner noise best, so that a patch is one trace.

#include <Eigen/Dense>
#include <cstdint>
#include <map>
#include <vector>

#include "geometry/contact.h"
#include "score/ideal_view.h"

namespace scrapetrace::score {

// Fraction kept per column: (1 - loss)^n; columns outside the counts keep all.
struct Scrape {
  geometry::TouchCounts touches;
  double loss = 0;
};

// Signals of all patches, whitened: products of such are products under the inverse covariance.
struct White {
  Eigen::VectorXd own;     // under the patches' own noise
  Eigen::VectorXd shared;  // the part that the jets explain
  [[nodiscard]] double dot(const White& other) const { return own.dot(other.own) - shared.dot(other.shared); }
};

class IdealLikelihood {
 public:
  // The covariance is that of the print under `scrape`: the truth, or none. Keeps a reference to the view,
  // whose volumes must all be 1 or come from likely_volumes().
  IdealLikelihood(const IdealView& view, const Scrape& scrape);

  // The traces under a scrape (or none), not whitened; per patch.
  [[nodiscard]] std::vector<Eigen::VectorXd> signal(const Scrape& scrape) const;
  // The same and its derivative by the loss.
  [[nodiscard]] std::vector<Eigen::VectorXd> slope(const Scrape& scrape) const;
  // What was read, as such traces: less the bias of noise on a bent tone curve, and moved to jets of
  // volume 1.
  [[nodiscard]] std::vector<Eigen::VectorXd> data() const;
  // The jets' volumes, by their posterior mean under a scrape.
  [[nodiscard]] JetVolumes likely_volumes(const Scrape& scrape) const;
  [[nodiscard]] White whiten(const std::vector<Eigen::VectorXd>& traces) const;
  [[nodiscard]] const IdealView& view() const { return view_; }

 private:
  [[nodiscard]] std::vector<Eigen::VectorXd> traces(const Scrape& scrape, bool derivative) const;
  void weigh_channels(const PatchView& patch);
  void add_patch(const PatchView& patch, const Scrape& scrape);

  const IdealView& view_;
  std::vector<std::array<double, 3>> channel_weight_;    // per patch
  std::vector<Eigen::MatrixXd> own_;                     // Cholesky factors, lower
  std::vector<std::map<JetKey, Eigen::VectorXd>> jets_;  // per patch, whitened
  std::vector<Eigen::VectorXd> expansion_;               // per patch: what the view's volumes add
  std::map<JetKey, Eigen::Index> jet_index_;
  std::vector<Eigen::MatrixXd> white_jets_;  // per patch: samples by all its jets
  std::vector<std::vector<Eigen::Index>> jet_columns_;
  Eigen::MatrixXd shared_;  // Cholesky factor of 1 + sum of products of whitened jets
};

// The view with the likely volumes of the jets under the true scrape, about which noise is linearised.
IdealView with_settled_jets(const IdealView& view, const Scrape& scrape);

}  // namespace scrapetrace::score
