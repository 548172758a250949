#pragma once
// Where in its file each part of a layout stands, for the checks that need several parts at once.

#include <vector>

#include "layout/problem_list.h"

namespace scrapetrace::layout {

struct LayoutPlaces {
  Place shift_px;
  std::vector<Place> ink_names;
  std::vector<Place> carriage_names;
  std::vector<Place> carriage_angles;
  std::vector<Place> head_names;
  std::vector<Place> head_first_jets;
  std::vector<Place> zones;  // their headers
};

}  // namespace scrapetrace::layout
