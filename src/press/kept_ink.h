#pragma once
// Per column: the ink its jet lays, and the fraction that causes leave.

#include <cstdint>
#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/causes.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

// Ink per column for one ink: 1 + jet_variation * deviate(machine_seed, head, ink, jet), less the loss of
// weak jets. 0 for columns that no head owns.
std::vector<double> laid_ink(const Layout& layout, const geometry::ColumnMap& map,
                             const std::vector<WeakJet>& jets, const PrintOptions& print, std::size_t ink);

// Multiplies `kept`, per column, by what the cause leaves of all inks.
void scrape(const Layout& layout, const geometry::ColumnMap& map, const Residue& residue,
            std::vector<double>& kept);
void scratch(const Layout& layout, const geometry::ColumnMap& map, const DrumScratch& cause,
             std::vector<double>& kept);

// Neutral density that haze adds at drum X.
double haze_density(const BladeHaze& haze, double x_drum_mm);

}  // namespace scrapetrace::press
