#pragma once
// The causes as the likelihood tries them, each with one strength: what it makes of every column.

#include <cstdint>
#include <vector>

#include "diagnose/likelihood.h"
#include "geometry/contact.h"

namespace scrapetrace::diagnose {

// Residue: kept = (1 - f)^n for all inks; n from geometry::count_touches. Strength: f.
class ResidueTrial : public TrialCause {
 public:
  ResidueTrial(const Scene& scene, const geometry::TouchCounts& touches);
  void signals(const Trace& trace, const InkState& state, double loss, ColumnSignals& out) const override;
  void apply(double loss, InkState& state) const;
  [[nodiscard]] const std::vector<std::uint8_t>& touches() const { return n_; }

 private:
  std::vector<std::uint8_t> n_;  // per column of the scene
};

// One jet: its columns lack the fraction `loss` of one ink. Strength: loss, 1 for a dead jet.
class JetTrial : public TrialCause {
 public:
  JetTrial(std::size_t ink, std::vector<std::size_t> columns) : ink_(ink), columns_(std::move(columns)) {}
  void signals(const Trace& trace, const InkState& state, double loss, ColumnSignals& out) const override;
  void apply(double loss, InkState& state) const;
  [[nodiscard]] double highest() const override { return 1.0; }

 private:
  std::size_t ink_;
  std::vector<std::size_t> columns_;
};

// Drum scratch: all inks lose the same fraction once, over [from, to) of the drum. Strength: that fraction.
class ScratchTrial : public TrialCause {
 public:
  ScratchTrial(const Scene& scene, double px_mm, Interval x_mm);
  void signals(const Trace& trace, const InkState& state, double loss, ColumnSignals& out) const override;
  void apply(double loss, InkState& state) const;
  [[nodiscard]] const std::vector<double>& overlap() const { return overlap_; }

 private:
  std::vector<double> overlap_;  // part of each column inside
};

// Blade haze: a Gaussian of neutral density on everything. Strength: density at the centre.
class HazeTrial : public TrialCause {
 public:
  HazeTrial(const Scene& scene, double centre_mm, double fwhm_mm);
  void signals(const Trace& trace, const InkState& state, double density, ColumnSignals& out) const override;
  void apply(double density, InkState& state) const;
  [[nodiscard]] double highest() const override { return 1.5; }

 private:
  std::vector<double> shape_;
};

}  // namespace scrapetrace::diagnose
