#pragma once
// What a reading of scans found: streaks, their causes, the targets to clean, and what could not be seen.
// Probabilities are meant to be calibrated: of the targets given 0.8, eight in ten are right.

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/layout.h"

namespace scrapetrace {

enum class Cause {
  residue,
  dead_jet,
  drum_scratch,
  blade_haze,
  scanner_line,
  seam_mismatch,
  sheet_damage,  // of this one sheet: the next one will not show it
  unknown
};
inline constexpr std::size_t kCauseCount = 8;
const char* to_string(Cause cause);  // the words of the JSON: "residue", "dead_jet", ...

struct Interval {
  double from_mm = 0;
  double to_mm = 0;
};

// The residue hypothesis that explains a streak best, with the spread of the posterior around it.
struct ResidueFit {
  std::string carriage;
  bool downstream = false;
  double x_drum_mm = 0;  // middle of the contact, carriage at home
  double x_sigma_mm = 0;
  double width_mm = 0;
  double width_sigma_mm = 0;
  double loss = 0;  // per contact
  double loss_sigma = 0;
  // Below about three standard deviations of the scan's blur a contact's width and its loss cannot be told
  // apart: then only their product is known.
  bool width_resolved = true;
  double width_times_loss_mm = 0;
  double width_times_loss_sigma_mm = 0;
  // Whether the streak has more than a plain contact draws, by far more than noise: its place and width are
  // then rough.
  bool poor = false;
  double probability_downstream = 0;                        // over all carriages
  std::vector<std::pair<std::string, double>> by_carriage;  // sums to 1
};

struct JetFit {
  std::string head;
  std::string ink;
  int jet = 0;
  double loss = 1;  // 1: dead; below: weak
};

// Two heads' ink that does not meet where the layout has their seam.
struct SeamFit {
  std::string left_head;  // on the drum
  std::string right_head;
  double gap_mm = 0;  // on the drum; negative: their ink overlaps
};

// That a streak is residue of one target.
struct StreakTarget {
  std::string head;
  Side side = Side::left;
  std::string surface;
  double probability = 0;
};

struct Streak {
  std::size_t id = 0;              // 1, 2, ...: as numbered in every output
  std::vector<std::size_t> scans;  // indices of the scans that show it
  double x_sheet_mm = 0;           // middle of the visible streak
  double sigma_mm = 0;             // standard deviation of x_sheet_mm, registration included
  double x_drum_mm = 0;
  double width_mm = 0;               // visible width on the sheet
  std::vector<Interval> y_sheet_mm;  // where along the sheet it shows; gaps between the intervals
  double loss = 0;  // mean fraction of ink missing across the visible width; negative: ink added
  bool width_resolved =
      true;  // false: too narrow for the scan to tell its width from its loss (see ResidueFit)
  double width_times_loss_mm = 0;            // on the sheet; known even where the two are not
  double z = 0;                              // signal over noise of the detection
  double contrast = 0;                       // L*, as scrapetrace/sight.h has it; a scanner's line has none
  bool visible = true;                       // whether an eye sees it on the print, at reading distance
  std::vector<std::string> inks;             // inks it was seen in
  std::array<double, kCauseCount> causes{};  // probabilities, by Cause; sum to 1
  bool was_before = false;                   // the scans from before show it too: no target rests on it
  bool beyond_layout = false;                // looks like a contact that the layout's interleave does not
                                             // explain: travel or the order of shift_px may be wrong there
  std::optional<ResidueFit> residue;         // when residue has probability above 0.01
  std::optional<JetFit> jet;                 // when dead_jet has probability above 0.01
  std::optional<SeamFit> seam;               // when seam_mismatch has probability above 0.01
  // Of a line of the scanner's: whether it kept its column of the scan when the sheet was turned round;
  // absent when no second scan shows it.
  std::optional<bool> kept_scan_column;
  std::vector<StreakTarget> targets;  // likeliest first; with residue that sits in no zone they sum to
                                      // the cause's probability
  [[nodiscard]] Cause likeliest() const;
};

struct Rival {
  std::string head;
  Side side = Side::left;
  std::string surface;
  double probability = 0;
  std::string tell_apart;  // one sentence: what would tell the two apart
};

struct Target {
  std::string head;
  Side side = Side::left;  // as stencilled
  std::string surface;
  double probability = 0;
  double x_drum_mm = 0;  // expected residue, if it is here
  double x_sigma_mm = 0;
  double x_sheet_mm = 0;
  double outward_mm = 0;  // e of the expected residue: from the outermost jet, positive away from the head
  double effort_min = 1;
  bool over_jets = false;  // the contact reaches among the jets, or may: never to be scraped there
  std::optional<double> touch_from_mm{};  // then: it may be touched from this outward distance on, in tenths;
                                          // absent: nothing of it
  std::vector<std::size_t> streaks;       // Streak::id
  std::vector<Rival> rivals;
  [[nodiscard]] bool never_scrape() const { return over_jets && !touch_from_mm; }
};

// One visit to the machine: what to clean before the next test print.
struct CleaningStep {
  std::vector<std::size_t> targets;  // indices into Findings::targets
  double minutes = 0;                // by the layout's effort_min and reach_min
  double done_probability = 0;       // that every scrape that comes from a listed target is gone after it
};

struct UncheckedTarget {
  std::string head;
  Side side = Side::left;
  std::string surface;
  double fraction = 1;  // of its zone
};

struct Unchecked {
  Interval x_drum_mm;
  std::string reason;
  std::vector<UncheckedTarget> targets;
};

enum class Datum { tags, patch_edges, jets, sheet_edges, image_edges };
const char* to_string(Datum datum);

// One way round that the sheet may lie in the scan.
struct WayUp {
  int turn_deg = 0;            // the scan must be turned by this, clockwise, to bring the lead edge up
  bool face_mirrored = false;  // the image is a mirror image of the sheet
  double probability = 1;
};

// Standard deviation of a place across the sheet.
struct PlaceError {
  double x_sheet_mm = 0;
  double sigma_mm = 0;
};

struct Registration {
  Datum datum = Datum::image_edges;
  double skew_deg = 0;         // of the sheet in the scan, clockwise positive
  int turn_deg = 0;            // the scan must be turned by this, clockwise, to bring the lead edge up
  bool face_mirrored = false;  // the image is a mirror image of the sheet
  double scale_x = 1;          // measured over nominal
  double scale_y = 1;
  double dpi = 0;
  std::string dpi_source;                 // "tag", "option", "chart", "marks"
  double predicted_error_mm = 0;          // standard deviation of a drum X read from this scan
  std::vector<PlaceError> errors_across;  // the same at places across the sheet, where marks placed it
  std::optional<double> jets_moved_mm;    // what the jets' pattern moved that by, on the drum in the middle
  double residual_mm = 0;                 // of the marks that the fit used
  int marks = 0;
  std::vector<WayUp> ways_up;  // that fit, likeliest first; the numbers above are the first one's
};

enum class QualityVerdict { ok, limited, rescan };
const char* to_string(QualityVerdict verdict);  // "ok", "usable with limits", "rescan"

// What keeps a scan from showing all it could; the words of the JSON below.
enum class ScanIssue {
  too_coarse,
  out_of_focus,
  clipped,
  cropped,
  compressed,
  enhanced,
  moire,
  other_sheet,
  wrong_machine,
  unproved_layout,
  drawing
};
const char* to_string(ScanIssue issue);  // "too_coarse", "out_of_focus", ...

struct ScanReport {
  std::string file;
  QualityVerdict verdict = QualityVerdict::ok;
  std::vector<std::string> reasons;          // why not ok: one sentence each, with the remedy
  std::vector<ScanIssue> issues;             // those of the reasons that programs may act on, each once
  std::vector<std::string> notes;            // what was assumed, and limits nothing
  std::optional<Registration> registration;  // absent: the scan could not be analysed
  int width_px = 0;
  int height_px = 0;
  double finest_streak_mm = 0;  // narrowest streak of total loss that this scan could show
  [[nodiscard]] bool analysed() const { return registration.has_value(); }
};

// A tenth: less than one head side of a machine with five heads, so that silence says nothing of the rest.
inline constexpr double kLeastChecked = 0.1;

struct Findings {
  std::vector<Target> targets;       // best first; of streaks that an eye sees
  std::vector<Target> traces;        // the same of streaks that none sees: no reason to open the machine
  bool faint_too = false;            // as asked for: all streaks count as if an eye saw them
  std::vector<CleaningStep> order;   // all but unlikely targets, so that the work is done soonest on average
  double expected_cleaning_min = 0;  // until everything that comes from them is gone
  std::vector<Streak> streaks;       // left to right on the sheet
  std::vector<Unchecked> unchecked;
  std::vector<ScanReport> scans;
  std::vector<ScanReport> before;  // scans from before the work on the machine, when given
  // Of the places where residue may sit (the layout's zones, by their prior), the part that some scan shows.
  double checked = 1;
  double false_alarm_rate = 0.01;  // expected false streaks per page
  [[nodiscard]] bool any_scan_analysed() const;
  // Whether the scans show enough of the machine for 'nothing found' to mean anything: kLeastChecked.
  [[nodiscard]] bool looked() const;
  // Whether a scan shows the jets and the layout does not explain them: places are then half guesses.
  [[nodiscard]] bool layout_unproved() const;
  [[nodiscard]] bool counts(const Streak& streak) const { return faint_too || streak.visible; }
};

}  // namespace scrapetrace
