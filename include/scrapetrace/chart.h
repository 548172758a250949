#pragma once
// What was printed: rectangles of ink on a sheet, in sheet millimetres (origin: top-left corner of the
// printed side with the lead edge at the top; x right, y down).

#include <array>
#include <cstddef>
#include <string>
#include <vector>

namespace scrapetrace {

struct Patch {
  // Names of the layout's inks; an overprint lists several. None, in a chart found on a scan only: something
  // else is printed there, so it is neither a patch to measure nor bare paper.
  std::vector<std::string> inks;
  std::array<double, 2> x_mm{};  // [from, to]
  std::array<double, 2> y_mm{};
  double coverage = 1.0;  // fraction of the area inked, (0, 1]
};

// A square fiducial tag of an open family, its black border's outer size given.
struct Mark {
  std::string kind;  // "tag"
  int id = 0;
  std::array<double, 2> center_mm{};
  double size_mm = 0;
};

struct Chart {
  std::string name;
  std::array<double, 2> sheet_mm{};  // width (cross-process), length (process)
  std::vector<Patch> patches;
  std::vector<Mark> marks;
};

}  // namespace scrapetrace
