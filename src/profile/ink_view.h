#pragma once
// Strips made comparable: signal over paper, the local baseline of each strip, and the fraction of ink lost.

#include <vector>

#include "profile/strips.h"
#include "scrapetrace/layout.h"

namespace scrapetrace::profile {

// One strip seen in the channel where its inks are darkest (and, for an overprint, one view per ink, each in
// the channel that ink has most to itself).
struct InkView {
  std::size_t strip = 0;  // index into Strips::strips
  int channel = 0;
  int ink = -1;             // index into Layout::inks of the ink that dominates the channel; -1: bare paper
  bool single_ink = false;  // the patch holds no other ink
  std::vector<double>
      ink_density;  // per layout ink, over paper in this channel; scaled to the measured baseline
  double coverage = 1;
  std::vector<float> value;  // signal over paper; grid-sized, valid in [strip.from, strip.to)
  std::vector<float> base;   // its local baseline: running median over Options::baseline_mm
  std::vector<float> loss;   // 1 - D / D_base for inked strips, D_base - D for paper (negative: darker)
};

struct ViewOptions {
  double baseline_mm = 40.0;         // window of the running median; more than twice the widest streak
  double paper_baseline_mm = 120.0;  // the same on bare paper, where haze has wide skirts
  double cell_mm = 0.5;              // the median runs over cells of this width
};

struct InkViews {
  std::vector<InkView> inked;
  std::vector<InkView> paper;
};

// Density of a signal over paper, kept finite.
double density_of(double signal_over_paper);

// Density that a tint's dots (a solid, for coverage 1) must have to give a signal over paper:
// signal = 1 - coverage + coverage 10^-D.
double dot_density(double signal_over_paper, double coverage);

InkViews make_ink_views(const Strips& strips, const Chart& chart, const Layout& layout, bool grey,
                        const ViewOptions& options);

}  // namespace scrapetrace::profile
