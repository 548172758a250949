#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/wording.h"
#include "fit/find_outlier.h"
#include "fit/job.h"

namespace scrapetrace {

namespace {

using fit::Fitted;
using fit::Job;
using fit::NominalPlace;
using fit::Sample;
using fit::Solution;

Problem problem(std::string what) {
  return {{}, 0, 0, std::move(what)};
}

// The head with most places is the reference; the first one of equals.
std::vector<std::size_t> heads_of(const Layout& start, const std::vector<NominalPlace>& places) {
  std::vector<std::size_t> number_of(start.heads.size(), 0);
  for (const auto& place : places) ++number_of[place.head];
  std::vector<std::size_t> heads;
  for (std::size_t h = 0; h < number_of.size(); ++h) {
    if (number_of[h] > 0) heads.push_back(h);
  }
  const auto most = std::max_element(
      heads.begin(), heads.end(), [&](std::size_t a, std::size_t b) { return number_of[a] < number_of[b]; });
  std::rotate(heads.begin(), most, most + 1);
  return heads;
}

Result<Job> job_of(const Layout& start, const std::vector<KnownPlace>& places) {
  if (places.size() < 2)
    return problem("a layout needs two known places or more; " + std::to_string(places.size()) + " given.");
  const geometry::ColumnMap columns(start);
  Job job;
  Problems problems;
  for (const KnownPlace& place : places) {
    auto nominal = fit::nominal_place(start, columns, place);
    if (!nominal) {
      problems.insert(problems.end(), nominal.problems().begin(), nominal.problems().end());
    } else {
      job.nominal.push_back(*nominal);
    }
  }
  if (!problems.empty()) return problems;
  job.heads = heads_of(start, job.nominal);
  for (std::size_t i = 0; i < places.size(); ++i) {
    const auto head = std::find(job.heads.begin(), job.heads.end(), job.nominal[i].head) - job.heads.begin();
    job.samples.push_back(
        {job.nominal[i].x_drum_mm, places[i].x_sheet_mm,
         std::hypot(places[i].sigma_mm, job.nominal[i].sigma_mm * start.transfer.scale_cross),
         static_cast<std::size_t>(head)});
  }
  return job;
}

// Fits the slope if the places determine it, else keeps it.
std::pair<Solution, std::string> solve_best(const std::vector<Sample>& samples, std::size_t heads,
                                            double kept, bool noise_known, const LayoutFitOptions& options) {
  const auto free = fit::solve(samples, heads, std::nullopt);
  if (!free) {
    return {*fit::solve(samples, heads, kept),
            "kept: no head has two places apart, so the scale cannot be told from the heads' places"};
  }
  const double sigma = std::sqrt(free->covariance(0, 0)) *
                       (noise_known ? std::max(1.0, fit::noise_of(*free).value_or(1)) : 1.0);
  if (sigma > options.worst_scale_sigma || free->slope * kept <= 0) {
    return {*fit::solve(samples, heads, kept), "kept: the places would tell it to +-" +
                                                   fmt::format("{:.4f}", sigma) +
                                                   " only; take jets further apart on one head"};
  }
  return {*free, ""};
}

Fitted fitted(const Job& job, double kept, const LayoutFitOptions& options) {
  Fitted out;
  out.used.assign(job.samples.size(), true);
  std::tie(out.solution, out.scale_note) = solve_best(job.samples, job.heads.size(), kept, false, options);
  const auto slope = out.solution.slope_fitted ? std::nullopt : std::optional(kept);
  const auto wrong = fit::find_outlier(job.samples, job.heads.size(), slope, out.solution, options);
  out.either = wrong.either;
  if (wrong.either) return out;
  auto right = job.samples;
  if (wrong.sample) {
    right.erase(right.begin() + static_cast<std::ptrdiff_t>(*wrong.sample));
    out.used[*wrong.sample] = false;
  }
  std::tie(out.solution, out.scale_note) = solve_best(right, job.heads.size(), kept, true, options);
  return out;
}

// The fit without two contradicting places, which are listed as left out.
Result<LayoutFit> without_both(const Layout& start, const std::vector<KnownPlace>& places,
                               std::pair<std::size_t, std::size_t> both, LayoutFitOptions options) {
  if (options.may_leave_out_two == 0)
    return problem("more places contradict each other than one may be wrong, among them " +
                   to_string(places[both.first]) + " and " + to_string(places[both.second]) +
                   "; measure them again.");
  options.may_leave_out_two -= 1;
  if (both.first > both.second) std::swap(both.first, both.second);
  auto fewer = places;
  fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(both.second));
  fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(both.first));
  auto fit = fit_layout(start, fewer, options);
  if (!fit) return fit.problems();
  auto out = std::move(fit).value();
  const auto left_out = [&](std::size_t which, std::size_t other) {
    const FittedPlace place{to_string(places[which]), 0,   places[which].sigma_mm, false,
                            to_string(places[other]), true};
    out.places.insert(out.places.begin() + static_cast<std::ptrdiff_t>(which), place);
  };
  left_out(both.first, both.second);
  left_out(both.second, both.first);
  return out;
}

}  // namespace

std::string to_string(const KnownPlace& place) {
  if (place.jet) {
    std::string out = "head " + place.jet->head + ", jet " + std::to_string(place.jet->jet);
    if (place.jet->pass) out += ", pass " + std::to_string(*place.jet->pass);
    return out;
  }
  const KnownScrape& scrape = *place.scrape;
  std::string out = "head " + scrape.head + ", " + to_string(scrape.side) + " side";
  if (scrape.outward_mm) return out + ", " + fmt::format("{:.1f}", *scrape.outward_mm) + " mm outward";
  return out + ", " + scrape.surface;
}

Result<LayoutFit> fit_layout(const Layout& start, const std::vector<KnownPlace>& places,
                             const LayoutFitOptions& options) {
  const auto job = job_of(start, places);
  if (!job) return job.problems();
  constexpr double kSure = 0.99;
  LayoutFit out;
  out.mirrored_probability = options.mirrored.value_or(mirrored_probability(start, places, places, options));
  out.mirroring_determined = std::max(out.mirrored_probability, 1 - out.mirrored_probability) >= kSure;
  const bool mirrored = out.mirroring_determined ? out.mirrored_probability > 0.5 : start.transfer.mirrored;
  const double kept = (mirrored ? -1 : 1) * start.transfer.scale_cross;
  const auto found = fitted(*job, kept, options);
  if (found.either) return without_both(start, places, *found.either, options);
  fit::write_keys(start, *job, found, mirrored, options, out);
  fit::write_places(*job, found, places, out);
  return out;
}

}  // namespace scrapetrace
