#pragma once
// Pages at random: one of the shipped machines, what went wrong on it, and how it was scanned. The same seed
// and index give the same page, whichever pages are drawn before it.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "scrapetrace/causes.h"
#include "scrapetrace/chart.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::testing {

struct Machine {
  std::string name;
  Layout layout;
  Chart chart;
};

// The machines of geometry/ with their charts of bands. Throws std::runtime_error when one does not read.
std::vector<Machine> shipped_machines(const std::string& source_dir);

struct RandomPage {
  const Machine* machine = nullptr;
  Causes causes;  // one residue or none; it bears its target's head, side and surface
  PrintOptions print;
  ScanOptions scan;
  [[nodiscard]] const Residue* residue() const {
    return causes.residues.empty() ? nullptr : &causes.residues.front();
  }
};

struct RandomPageOptions {
  std::uint64_t seed = 1;
  bool clean = false;  // other causes only, at least one
  std::vector<double> dpi = {300, 400, 600};
};

// Machines take turns by index.
RandomPage draw_page(const std::vector<Machine>& machines, int index, const RandomPageOptions& options);

// One line of everything that was drawn.
std::string describe(const RandomPage& page);

}  // namespace scrapetrace::testing
