#pragma once
// Inputs of fit_layout(), and the conversion of its result to layout keys.

#include <string>
#include <vector>

#include "fit/nominal_place.h"
#include "fit/solve.h"

namespace scrapetrace::fit {

struct Job {
  std::vector<NominalPlace> nominal;  // per place
  std::vector<Sample> samples;        // per place
  std::vector<std::size_t> heads;     // heads with known places, the reference first
};

struct Fitted {
  Solution solution;
  std::vector<bool> used;  // per place
  std::string scale_note;  // why the scale was kept
  std::optional<std::pair<std::size_t, std::size_t>>
      either;  // these two contradict each other; nothing else is filled in
};

// The residuals' spread over the stated sigmas; nothing with too few residuals.
std::optional<double> noise_of(const Solution& solution);

void write_keys(const Layout& start, const Job& job, const Fitted& fitted, bool mirrored,
                const LayoutFitOptions& options, LayoutFit& out);
void write_places(const Job& job, const Fitted& fitted, const std::vector<KnownPlace>& places,
                  LayoutFit& out);

}  // namespace scrapetrace::fit
