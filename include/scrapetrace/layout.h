#pragma once
// A machine: where its heads stand, how they interleave, and where residue may sit. Values only.
// Frames (docs/coordinates.md): X is millimetres across the drum, to the right as seen by someone who faces
// the faceplates; column c covers [c, c+1) px of it. Outward distance e is measured from a head's outermost
// jet at home, positive away from the head.

#include <array>
#include <cstddef>
#include <string>
#include <vector>

namespace scrapetrace {

using Rgb = std::array<double, 3>;

enum class Side { left, right };

struct Drum {
  double width_mm = 0;
  double circumference_mm = 0;
};

struct Raster {
  double cross_process_dpi = 0;
  double process_dpi = 0;
};

struct Interleave {
  int jet_pitch_px = 1;
  std::vector<int> shift_px;  // carriage displacement per pass, in columns; one entry per pass
};

struct Transfer {
  bool mirrored = false;
  double scale_cross = 1.0;            // sheet mm per drum mm
  double sheet_left_on_drum_mm = 0.0;  // drum X under sheet x = 0
};

struct Ink {
  std::string name;
  Rgb solid_density_rgb{};  // of a solid over paper, base 10, in the scan's linear R, G, B
};

struct Carriage {
  std::string name;
  double angle_deg = 0;  // around the drum, in its rotation; orders the events of one pass
  double offset_mm = 0;  // how far its heads stand from the raster: ink, contacts and zones shift by it
  int travel = 1;        // +1 or -1: the sign of shift_px
};

struct Head {
  std::string name;
  std::size_t carriage = 0;  // index into Layout::carriages
  int first_jet_px = 0;      // column of jet 0 at home
  int jets = 0;
  bool rotated = false;  // its stencilled left is on the drum's right
  std::string group{};   // heads of one group are reached together; empty: by itself
};

// Where residue may sit, for every head: outward distances [from_mm, to_mm] at the stencilled side.
struct Zone {
  std::string surface;  // free text of the trade: faceplate, insulation, ...
  Side side = Side::left;
  double from_mm = 0;
  double to_mm = 0;
  double prior = 0;       // weight of the whole zone, relative to the other zones
  double effort_min = 1;  // minutes to reach and clean it
  double reach_min = 0;   // of these, minutes to reach it: spent once per visit for heads of one group
};

// How well the file knows the machine (standard deviations): service drawings and rulers promise no more.
struct Tolerance {
  double place_mm = 0.05;  // of a carriage's offset and of where a head stands on it
  double scale = 0.001;    // of scale_cross, relative
};

struct Layout {
  std::string name;
  Drum drum;
  Raster raster;
  Interleave interleave;
  Transfer transfer;
  std::vector<Ink> inks;
  std::vector<Carriage> carriages;
  std::vector<Head> heads;
  std::vector<Zone> zones;
  Tolerance tolerance{};

  [[nodiscard]] double px_mm() const { return 25.4 / raster.cross_process_dpi; }
  [[nodiscard]] int passes() const { return static_cast<int>(interleave.shift_px.size()); }
  // Signed displacement, in columns, of a carriage in a pass (model: s_k = travel * shift_px[k]).
  [[nodiscard]] int shift_of(std::size_t carriage, int pass) const {
    return carriages[carriage].travel * interleave.shift_px[static_cast<std::size_t>(pass)];
  }
};

const char* to_string(Side side);

}  // namespace scrapetrace
