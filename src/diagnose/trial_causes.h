#pragma once
// The causes as the likelihood tries them, each with one strength: what it makes of every cell.

#include <cstdint>
#include <vector>

#include "diagnose/likelihood.h"
#include "geometry/contact.h"

namespace scrapetrace::diagnose {

// Residue: kept = (1 - f)^n for all inks; n from geometry::count_touches. Strength: f.
class ResidueTrial : public TrialCause {
 public:
  ResidueTrial(const Scene& scene, const geometry::TouchCounts& touches);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const override;
  void apply(double loss, InkState& state) const;
  [[nodiscard]] bool touches_nothing() const { return range_.to <= range_.from; }

 private:
  CellRange range_;
  std::vector<std::uint8_t> n_;  // per cell of the range
};

// One jet: its cells lack the fraction `loss` of one ink. Strength: loss, 1 for a dead jet.
class JetTrial : public TrialCause {
 public:
  // `cells` ascend.
  JetTrial(std::size_t ink, std::vector<std::size_t> cells);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const override;
  void apply(double loss, InkState& state) const;
  [[nodiscard]] double lowest() const override { return 0.1; }  // weaker is jet-to-jet variation
  [[nodiscard]] double highest() const override { return 1.0; }

 private:
  std::size_t ink_;
  std::vector<std::size_t> cells_;
  CellRange range_;
};

// Drum scratch: all inks lose the same fraction once, over [from, to) of the drum. Strength: that fraction.
class ScratchTrial : public TrialCause {
 public:
  ScratchTrial(const Scene& scene, Interval x_mm);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double loss, CellSignals& out) const override;
  void apply(double loss, InkState& state) const;

 private:
  CellRange range_;
  std::vector<double> overlap_;  // part inside, per cell of the range
};

// Blade haze: a Gaussian of neutral density on everything. Strength: density at the centre.
class HazeTrial : public TrialCause {
 public:
  HazeTrial(const Scene& scene, double centre_mm, double fwhm_mm);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double density, CellSignals& out) const override;
  void apply(double density, InkState& state) const;
  [[nodiscard]] double lowest() const override { return 0.004; }
  [[nodiscard]] double highest() const override { return 1.5; }

 private:
  CellRange range_;
  std::vector<double> shape_;  // per cell of the range
};

// A seam where two heads' ink does not meet as the layout has it: instead of the layout's own step, from
// `end_mm` on, ink is missing altogether or lies twice. Strength: over how many millimetres.
class SeamTrial : public TrialCause {
 public:
  // `by_layout`: where the heads' ink ends by the layout. `direction` +1: from `end_mm` to the right, -1: to
  // the left.
  SeamTrial(const Scene& scene, const geometry::SeamEnds& by_layout, double end_mm, int direction,
            bool overlap);
  [[nodiscard]] CellRange range() const override { return range_; }
  void signals(const Trace& trace, const Standing& before, double width_mm, CellSignals& out) const override;
  void apply(double width_mm, InkState& state) const;
  [[nodiscard]] Interval interval_mm(double width_mm) const;
  [[nodiscard]] double lowest() const override { return 0.002; }
  [[nodiscard]] double highest() const override { return kWidest_mm; }
  static constexpr double kWidest_mm = 0.6;  // wider is another machine's layout

 private:
  [[nodiscard]] double part_of(const Cell& cell, double width_mm) const;
  const Scene& scene_;
  double end_mm_;
  int direction_;
  bool overlap_;
  CellRange range_;
};

}  // namespace scrapetrace::diagnose
