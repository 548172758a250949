#pragma once
// What the diagnosis of one region looks at: for each scan and ink a measured profile across the region, the
// columns under it, and the noise that the page itself shows.

#include <memory>
#include <vector>

#include "geometry/machine.h"
#include "likelihood/banded_cholesky.h"
#include "likelihood/blend.h"
#include "likelihood/ink_noise.h"
#include "profile/prepared_scan.h"
#include "scrapetrace/layout.h"
#include "streak/find_regions.h"
#include "streak/track.h"

namespace scrapetrace::diagnose {

// Scans of the same machine from before, and where something was wrong on them already.
struct Before {
  std::vector<profile::PreparedScan> scans;
  std::vector<std::vector<InkNoise>> noise;  // per scan
  std::vector<Interval> known_mm;            // drum
};

// The drum under diagnosis, cut into cells: one per column as it is laid; where carriages' offsets leave a
// gap between columns of different owners, a cell of bare paper; where they overlap, a cell of double ink.
struct Cell {
  int column = -1;  // -1: a gap
  geometry::Owner owner;
  double from_mm = 0;
  double to_mm = 0;
  int layers = 1;  // 0 gap, 2 overlap
  [[nodiscard]] double middle_mm() const { return 0.5 * (from_mm + to_mm); }
};

// A measured profile: one ink (or bare paper, ink = -1) of one scan, mean over the strips that show the
// streak.
struct Trace {
  std::size_t scan = 0;  // index into the prepared scans
  int ink = -1;
  double coverage = 1;
  std::vector<double> share;    // per layout ink: its part of the density in this channel, sums to 1
  std::vector<double> x_mm;     // drum, per sample
  std::vector<double> value;    // signal over paper
  std::vector<double> density;  // baseline density (of the dots, for a tint) per cell; layers counted
  std::vector<double> base;     // baseline signal over paper per sample
  std::vector<bool> blind;      // samples without weight: the scanner's own line hides the print there
  PointSpread spread{0.05};
  std::vector<double> with_fringes;           // covariance_with_fringes of its pool
  bool jets_in_place = true;                  // as of its scan
  std::shared_ptr<BandedCholesky> noise;      // covariance of `value` about a true model
  std::vector<std::vector<double>> nuisance;  // whitened, orthonormal: baseline offset and slope
};

// The part of the drum under diagnosis.
struct Scene {
  std::vector<Cell> cells;
  std::vector<double> shift_mm;  // trial shifts of the registration, 0 among them
  std::vector<double> shift_log_prior;
  std::vector<Trace> traces;
  Interval window_mm;
  std::vector<Interval> blind_mm;  // parts of the window that another streak spoils
  double px_mm = 1;

  [[nodiscard]] Blend blend(const Trace& trace, double shift) const;
  [[nodiscard]] Interval shown_mm() const;  // drum, of all traces; ends before it begins where there are none
};

struct SceneOptions {
  double margin_mm = 1.6;           // baseline seen to each side, beyond the region and the travel
  double model_error = 0.02;        // relative error of the forward model's own signal
  double paper_model_error = 0.15;  // the same on bare paper, where haze has no exact shape
  double place_error_px = 0.06;     // of the scan's geometry from sample to sample, and of its blur's shape
  double shift_step_columns = 0.25;
  bool jets_in_place = true;  // false: no scan tells which jet laid a column, whatever it says itself
  bool same_sheet = false;    // the scans are of one sheet: its grain and mottle repeat like the jets
  int threads = 1;            // traces are made on; they do not depend on them
};

// `tracks[s]` says which strips of prepared scan s show the streak; scans without strips give no trace.
// Samples within a millimetre of `others`, but not in the region itself, are left without weight: another
// streak is there. What scans from `before` tell about the columns is taken out of the traces.
Scene make_scene(const geometry::Machine& machine, const std::vector<profile::PreparedScan>& scans,
                 const std::vector<std::vector<InkNoise>>& noise, Interval region_mm,
                 const std::vector<Interval>& others, const std::vector<streak::Track>& tracks,
                 const SceneOptions& options, const Before* before = nullptr);

}  // namespace scrapetrace::diagnose
