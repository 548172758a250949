#pragma once
// A layout for a machine never seen: from places on the machine that are known (a jet that was switched off,
// a bit of residue that was seen) and where they show on the sheet.
//
// The model, after docs/coordinates.md. A known place of head h on carriage q has drum X = X_i + offset_q +
// d_h, where X_i follows from the starting layout's columns and d_h is how far the head stands from where
// that layout has it. On the sheet x_i = a (X_i + offset_q + d_h) + b + noise, with a = scale_cross, negative
// when mirrored, and sheet_left_on_drum_mm = -b / a. With g_h = a d_h this is linear in a, b and g_h:
// weighted least squares. Only the heads' places relative to each other and to the sheet can show, so one
// head is the reference and stays (d = 0). What remains undetermined is found from the singular values of the
// design, and kept.
//
// Intervals: with three degrees of freedom or more the noise is taken from the residuals (Student's t), else
// from the sigmas stated. One wrong place is found by its deletion residual (externally studentised; R. D.
// Cook and S. Weisberg, Residuals and Influence in Regression, 1982, 2.2) at 0.1 % over all places together.

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/findings.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/result.h"

namespace scrapetrace {

// A jet that prints nothing. Its gap shows once per pass.
struct KnownJet {
  std::string head;
  int jet = 0;
  std::optional<int> pass;  // x_sheet_mm is that pass's line; without: the middle of all its lines
};

// Residue that was seen on the machine.
struct KnownScrape {
  std::string head;
  Side side = Side::left;                  // as stencilled
  std::string surface;                     // its zone tells the place, unless outward_mm is given
  std::optional<double> outward_mm;        // of its middle, from the outermost jet
  std::optional<double> outward_sigma_mm;  // how well that is known; without: 0.5 mm, or the zone's spread
};

struct KnownPlace {
  std::optional<KnownJet> jet;  // exactly one of the two
  std::optional<KnownScrape> scrape;
  double x_sheet_mm = 0;  // middle of the gap or of the streak
  double sigma_mm = 0.1;  // of x_sheet_mm
};
// "head 3, jet 20", "head 3, left side, 1.2 mm outward"
std::string to_string(const KnownPlace& place);

struct LayoutFitOptions {
  double scale_sigma = 0.02;         // how far a machine's scale may lie off the starting layout's
  double head_sigma_mm = 3.0;        // and a head's place: both only weigh the two ways of transfer
  double wrong_place_part = 0.01;    // of places that are not what they are taken for
  double worst_scale_sigma = 0.005;  // a scale known less well is kept
  double wrong_place_level = 0.001;  // significance of a wrong place, over all places together
  // Errors that all places share, as those of one scan's placement; residuals do not show them.
  double shared_shift_sigma_mm = 0;
  double shared_stretch_sigma = 0;  // about the sheet's left edge
  int may_leave_out_two = 1;        // times that two places may contradict each other
  std::optional<double> mirrored;   // P(the transfer mirrors), when known otherwise
};

struct FittedKey {
  std::string key;  // as in the layout file: "transfer.scale_cross", "carriage \"upper\": offset_mm", ...
  bool fitted = false;
  double before = 0;
  double after = 0;
  double low = 0;  // 95 %, when fitted
  double high = 0;
  std::string note;  // why it was kept, or what the number rests on
};

struct FittedPlace {
  std::string name;
  double residual_mm = 0;  // on the sheet, measured less expected
  double sigma_mm = 0;     // that was expected of it
  bool used = true;        // false: taken for wrong
  std::string against;     // of two that contradict each other, both left out: the other
  bool checked = true;     // false: nothing else checks it, so its residual says nothing
};

// A head against the reference head, before it is cut into whole columns and a carriage's offset.
struct FittedHead {
  std::string head;
  double moved_mm = 0;  // d
  double low_mm = 0;    // 95 %
  double high_mm = 0;
  int columns = 0;          // written to first_jet_px
  double left_over_mm = 0;  // that no key of the layout can hold
  bool columns_sure = false;
};

struct LayoutFit {
  Layout layout;
  std::vector<FittedKey> keys;
  std::vector<FittedHead> heads;  // those that places were known of
  std::vector<FittedPlace> places;
  std::string reference;  // the head that stays
  double mirrored_probability = 0;
  bool mirroring_determined = false;
  int degrees_of_freedom = 0;
  bool noise_from_residuals = false;
  double noise = 1;  // the spread of the residuals over the sigmas stated; 1 when taken as stated
};

// Fails when a place names what the layout does not have, when there are fewer than two places, or when
// places contradict each other and none of them can be told to be the wrong one.
Result<LayoutFit> fit_layout(const Layout& start, const std::vector<KnownPlace>& places,
                             const LayoutFitOptions& options);

// P(the transfer mirrors), from the evidence for both ways. The places may be paired differently for each.
double mirrored_probability(const Layout& start, const std::vector<KnownPlace>& if_not,
                            const std::vector<KnownPlace>& if_mirrored, const LayoutFitOptions& options);

// Streaks taken for jets that were switched off, when the transfer mirrors or not: the pairing by which most
// of them lie where the starting layout has them but for one common shift.
struct PairedJets {
  std::vector<KnownPlace> places;
  std::vector<std::size_t> streaks;  // index of each place's
  std::vector<std::string> missing;  // jets that no streak was found for
};
PairedJets pair_jets(const Layout& start, const std::vector<KnownJet>& jets,
                     const std::vector<Streak>& streaks, bool mirrored, double reach_mm = 3.0);

// Where on the sheet a paired jet's gap really lies: its lines, as the layout spaces them, are laid over a
// profile of missing ink (PlaceView). nullopt: they are not there.
std::optional<double> x_of_gap(const Layout& start, const KnownPlace& place, bool mirrored,
                               const std::vector<double>& x_drum_mm, const std::vector<double>& loss,
                               double reach_mm = 2.5);

}  // namespace scrapetrace
