#pragma once
// The forward model as a verb: a chart printed by a layout with known causes, as a scanner would see it.

#include <cstdint>
#include <optional>
#include <vector>

#include "scrapetrace/causes.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/result.h"

namespace scrapetrace {

struct PrintOptions {
  double jet_variation = 0.02;     // 0 to 0.3: standard deviation of a jet's volume, relative, on all sheets
  std::uint64_t machine_seed = 1;  // draws the jets' volumes: keep it for sheets of one machine
  double mottle = 0.01;            // 0 to 0.3: standard deviation of the slow ink variation, relative
  double mottle_mm = 3.0;          // 0.5 to 1000: its correlation length
  double grain = 0.03;             // 0 to 0.3: standard deviation of the ink in one drum pixel, relative
  double screen_lpi = 0;           // 0 to 400: lines per inch of tints' screens; 0: strewn dots
  double screen_deg = 15;          // -360 to 360: of ink 1's lines; those of 2 to 4 lie 60, -15, 30 on
  // Draws the grain and mottle of this sheet: keep it for all scans of one sheet. Empty: the scan's own seed.
  std::optional<std::uint64_t> sheet_seed;
  double paper_white = 0.85;  // (0, 1]: linear reflectance of the paper as scanned
  double stretch_x = 1.0;     // 0.9 to 1.1: of the sheet beyond the layout's scale_cross
  double stretch_y = 1.0;
  double shift_x_mm = 0.0;  // -50 to 50: of the print on the sheet (feed play)
  double shift_y_mm = 0.0;
};

struct ScanOptions {
  double dpi = 600;            // 25 to 4800
  double blur_px = 0.85;       // 0 to 20: standard deviation of the scanner's point spread, scan pixels
  double noise = 1.5;          // 0 to 64: standard deviation per sample, 8-bit code values
  double skew_deg = 0;         // -15 to 15: sheet turned clockwise in the scan
  int turn_deg = 0;            // 0, 90, 180, 270: quarter turn applied to the finished image, clockwise
  bool face_mirrored = false;  // image mirrored left to right before the turn
  double margin_mm = 3.0;      // up to 100: scanner bed seen around the sheet; negative crops the sheet
  double bed = 0.92;           // 0 to 1: linear reflectance of what lies around the sheet
  bool grey = false;
  int bits = 8;                 // 8 or 16
  std::uint64_t scan_seed = 1;  // noise of this scan, and its sheet's grain and mottle unless it has a seed
  int threads = 0;              // 0: as many as the machine has; the pixels do not depend on it
};

// A camera over the sheet instead of a scanner. Defaults are those of a phone held straight above it.
struct CameraOptions {
  int width_px = 3000;  // 100 to 12000, as height_px
  int height_px = 4000;
  double tilt_deg = 0;          // 0 to 60: between the camera's axis and the sheet's normal
  double tilt_towards_deg = 0;  // -360 to 360: direction on the sheet of the axis tilted about, from x to y
  double roll_deg = 0;          // -360 to 360: picture turned about the camera's axis
  double view_deg = 68;         // 10 to 110: angle seen along the picture's longer side
  double fill = 0.92;           // 0.2 to 3: farthest reach of the sheet, as part of half the picture's side
  double k1 = 0;                // -0.2 to 0.2, and k2 -0.05 to 0.05: lens, as in PhotoMap (photo.h)
  double k2 = 0;
  double fall_off = 0;        // 0 to 0.9: light lost in the darkest corner, linear light
  double light_from_deg = 0;  // -360 to 360: direction in the picture where the light comes from
  double table = 0.35;        // 0 to 1: linear reflectance around the sheet
  double blur_px = 0.7;       // 0 to 20
  double noise = 2.0;         // 0 to 64: 8-bit code values
};

struct SimulatedScan {
  int width_px = 0;
  int height_px = 0;
  int channels = 3;
  int bits = 8;
  double dpi = 0;
  std::vector<std::uint8_t> pixels;  // sRGB-coded, interleaved rows, host byte order when 16 bits
};

// Renders one scan: the chart's patches and, in the inks that make black, its tags. Same arguments, same
// bytes. Fails (problems) when a cause or option is out of range, naming the value and what is allowed;
// ranges are those stated beside the fields above.
Result<SimulatedScan> simulate_scan(const Layout& layout, const Chart& chart, const Causes& causes,
                                    const PrintOptions& print, const ScanOptions& scan);

// The same sheet as a camera sees it, in 8-bit colour. Of `scan` only the seed and the threads count.
Result<SimulatedScan> simulate_photo(const Layout& layout, const Chart& chart, const Causes& causes,
                                     const PrintOptions& print, const ScanOptions& scan,
                                     const CameraOptions& camera);

}  // namespace scrapetrace
