#pragma once
// Strips made comparable: signal over paper, the local baseline of each strip, and the fraction of ink lost.

#include <algorithm>
#include <vector>

#include "profile/baseline.h"
#include "profile/fringes.h"
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
  bool evened = false;       // fringes were taken out: fringes.h
  std::vector<float> value;  // signal over paper; grid-sized, valid in [strip.from, strip.to)
  std::vector<float> base;   // its local baseline: baseline.h
  std::vector<float> loss;   // 1 - D / D_base for inked strips, D_base - D for paper (negative: darker)
};

struct ViewOptions {
  BaselineOptions inked;
  BaselineOptions paper{120.0};  // haze has wide skirts
  FringeOptions fringes;         // of tints
  int threads = 1;               // the views do not depend on it
};

struct InkViews {
  std::vector<InkView> inked;
  std::vector<InkView> paper;
  std::vector<bool> pass_beside;  // by carriage: one of its passes lands beside its place (pass_comb.h)

  [[nodiscard]] bool any_pass_beside() const {
    return std::find(pass_beside.begin(), pass_beside.end(), true) != pass_beside.end();
  }
};

// Density of a signal over paper, kept finite.
double density_of(double signal_over_paper);

// Density that a tint's dots (a solid, for coverage 1) must have to give a signal over paper:
// signal = 1 - coverage + coverage 10^-D.
double dot_density(double signal_over_paper, double coverage);

InkViews make_ink_views(const Strips& strips, const Chart& chart, const Layout& layout, bool grey,
                        const ViewOptions& options);

}  // namespace scrapetrace::profile
