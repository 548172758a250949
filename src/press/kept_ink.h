#pragma once
// Per column: the fraction of its ink that causes leave there, and how much its jet lays in the first place.

#include <cstdint>
#include <vector>

#include "geometry/column_map.h"
#include "scrapetrace/causes.h"
#include "scrapetrace/layout.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::press {

// Ink that each jet lays, by column, for one ink: 1 + jet_variation * deviate(machine_seed, head, ink, jet),
// less what weak jets leave out. Columns that nobody owns hold 0.
std::vector<double> laid_ink(const Layout& layout, const geometry::ColumnMap& map,
                             const std::vector<WeakJet>& jets, const PrintOptions& print, std::size_t ink);

// Multiplies `kept`, one factor per column, by what the cause leaves of all inks.
void scrape(const Layout& layout, const geometry::ColumnMap& map, const Residue& residue,
            std::vector<double>& kept);
void scratch(const Layout& layout, const geometry::ColumnMap& map, const DrumScratch& cause,
             std::vector<double>& kept);

// Neutral density that a blade leaves at drum X.
double haze_density(const BladeHaze& haze, double x_drum_mm);

}  // namespace scrapetrace::press
