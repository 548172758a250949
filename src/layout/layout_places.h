#pragma once
// Positions of a layout's parts in its file, for messages about several parts.

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
  std::vector<Place> zones;  // of their headers
};

}  // namespace scrapetrace::layout
