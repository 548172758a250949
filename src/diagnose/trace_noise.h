#pragma once
// How far a trace may stray from a true model, and what its baseline may do.

#include "diagnose/scene.h"

namespace scrapetrace::diagnose {

// Density of a tint's dots (of the whole patch, for a solid) that gives a signal over paper.
double dot_density(double value, double coverage);

// y at a place between equally spaced x, by a straight line; the ends go on level.
double sample_at(const std::vector<double>& x, const std::vector<double>& y, double at);

// Sets the trace's covariance: jets (each moves all its columns), the strips' own noise, the forward model's
// error, and no weight for blind samples. `strips` were averaged; `scans` show the streak. Not factored yet.
void set_noise(const Scene& scene, const Blend& blend, const InkNoise& noise, double strips, double scans,
               double model_error, double place_error_px, Trace& trace);

// Whitened offset and slope of the baseline, orthonormal. Needs the factored covariance.
void set_nuisance(Trace& trace);

}  // namespace scrapetrace::diagnose
