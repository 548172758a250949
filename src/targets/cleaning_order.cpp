#include "targets/cleaning_order.h"

#include <algorithm>
#include <cstdint>
#include <limits>
#include <map>

namespace scrapetrace::diagnose {

namespace {

using Set = std::uint32_t;  // of places

bool has(Set set, std::size_t place) {
  return (set >> place & 1U) != 0;
}

std::vector<std::size_t> members(Set set) {
  std::vector<std::size_t> out;
  for (std::size_t p = 0; set >> p != 0; ++p) {
    if (has(set, p)) out.push_back(p);
  }
  return out;
}

// Every scrape is gone: it came from a cleaned place, or from none of these.
template <class Cleaned>
double done(const CleaningJob& job, const Cleaned& cleaned) {
  double product = 1;
  for (const auto& chances : job.chance) {
    double left = 0;
    for (std::size_t p = 0; p < chances.size(); ++p) {
      if (!cleaned(p)) left += chances[p];
    }
    product *= std::max(0.0, 1 - left);
  }
  return product;
}

double visit_minutes(const CleaningJob& job, const std::vector<std::size_t>& places) {
  double sum = 0;
  double reach = 0;
  for (const std::size_t p : places) {
    sum += job.places[p].minutes - job.places[p].reach;
    reach = std::max(reach, job.places[p].reach);
  }
  return sum + reach;
}

// Visits that can follow: each place by itself and, within a group, all sets of places.
std::vector<Set> visits(const CleaningJob& job) {
  std::map<int, Set> groups;
  std::vector<Set> out;
  for (std::size_t p = 0; p < job.places.size(); ++p) {
    if (job.places[p].group < 0) {
      out.push_back(Set{1} << p);
    } else {
      groups[job.places[p].group] |= Set{1} << p;
    }
  }
  for (const auto& [group, all] : groups) {
    for (Set part = all; part != 0; part = (part - 1) & all) out.push_back(part);
  }
  return out;
}

CleaningPlan exact_plan(const CleaningJob& job) {
  const std::size_t n = job.places.size();
  const Set all = n == 0 ? 0 : static_cast<Set>((std::uint64_t{1} << n) - 1);
  const auto choices = visits(job);
  std::vector<double> minutes;
  for (const Set visit : choices) minutes.push_back(visit_minutes(job, members(visit)));
  // rest[s]: expected minutes still to come once the places of s are clean.
  std::vector<double> rest(static_cast<std::size_t>(all) + 1, 0.0);
  std::vector<std::size_t> next(rest.size(), 0);
  for (Set s = all; s-- > 0;) {
    const double left = 1 - done(job, [&](std::size_t p) { return has(s, p); });
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t v = 0; v < choices.size(); ++v) {
      if ((choices[v] & s) != 0) continue;
      const double cost = left * minutes[v] + rest[s | choices[v]];
      // A hair's breadth apart is a tie: the first stays, whatever the machine's rounding.
      if (cost < least - 1e-12) least = cost, next[s] = v;
    }
    rest[s] = least;
  }
  CleaningPlan plan;
  plan.expected_minutes = rest[0];
  for (Set s = 0; s != all;) {
    const std::size_t v = next[s];
    s |= choices[v];
    plan.visits.push_back(
        {members(choices[v]), minutes[v], done(job, [&](std::size_t p) { return has(s, p); })});
  }
  return plan;
}

CleaningPlan greedy_plan(const CleaningJob& job) {
  CleaningPlan plan;
  std::vector<bool> cleaned(job.places.size(), false);
  double so_far = done(job, [&](std::size_t p) { return cleaned[p]; });
  for (std::size_t step = 0; step < cleaned.size(); ++step) {
    std::size_t best = cleaned.size();
    double most = -1;
    for (std::size_t p = 0; p < cleaned.size(); ++p) {
      if (cleaned[p]) continue;
      const double gain = done(job, [&](std::size_t q) { return cleaned[q] || q == p; }) - so_far;
      const double rate = gain / std::max(job.places[p].minutes, 1e-6);
      if (rate > most + 1e-12) most = rate, best = p;
    }
    plan.expected_minutes += (1 - so_far) * job.places[best].minutes;
    cleaned[best] = true;
    so_far = done(job, [&](std::size_t p) { return cleaned[p]; });
    plan.visits.push_back({{best}, job.places[best].minutes, so_far});
  }
  return plan;
}

}  // namespace

CleaningPlan plan_cleaning(const CleaningJob& job) {
  return job.places.size() <= kExactPlaces ? exact_plan(job) : greedy_plan(job);
}

}  // namespace scrapetrace::diagnose
