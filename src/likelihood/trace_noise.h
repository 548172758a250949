#pragma once
// How far a trace may stray from a true model, and what its baseline may do.

#include "likelihood/pattern.h"
#include "likelihood/scene.h"

namespace scrapetrace::diagnose {

// y at a place between equally spaced x, by a straight line; the ends go on level.
double sample_at(const std::vector<double>& x, const std::vector<double>& y, double at);

// Covariance of a trace's samples about a true model, jets left out: the strips' own noise and mottle
// (`strips` of them averaged), the forward model's error and the geometry's. The model's errors repeat on
// every sheet: they count once for each of `scans`, so that the sum over scans weighs them as one.
Eigen::MatrixXd sample_covariance(const InkNoise& noise, double strips, double scans,
                                  const SceneOptions& options, const Trace& trace);

// Sets the trace's covariance: jets (each moves all its columns; every column by itself where they are not in
// place), the samples' own, and no weight for blind samples. `scans` show the streak. Not factored yet.
void set_noise(const Scene& scene, const Blend& blend, const InkNoise& noise, double scans,
               const Eigen::MatrixXd& own, Trace& trace);

// Takes what scans from before say about the ink out of the trace, and sets its covariance as above with what
// they leave unsure. `kept` as in Pattern::weights.
void take_out_pattern(const Scene& scene, const Pattern& pattern, const std::vector<double>& kept,
                      double scans, const Eigen::MatrixXd& own, Trace& trace);

// Whitened offset and slope of the baseline, orthonormal. Needs the factored covariance.
void set_nuisance(Trace& trace);

}  // namespace scrapetrace::diagnose
