#include "report/verdict_json.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <optional>

#include "accept/verdict_consistency.h"
#include "base/wording.h"
#include "report/read_json.h"

namespace scrapetrace::report {

namespace {

std::optional<Verdict> verdict_named(const std::string& name) {
  for (const Verdict verdict : {Verdict::pass, Verdict::fail, Verdict::cannot_judge}) {
    if (name == to_string(verdict)) return verdict;
  }
  return {};
}

std::optional<LimitKind> limit_named(const std::string& name) {
  for (std::size_t i = 0; i < kLimitKindCount; ++i) {
    if (name == to_string(static_cast<LimitKind>(i))) return static_cast<LimitKind>(i);
  }
  return {};
}

double number_at(const Json& json, const char* key) {
  const auto found = json.find(key);
  const bool is = found != json.end() && found->is_number();
  return is ? found->get<double>() : std::numeric_limits<double>::quiet_NaN();
}

const char* beginning_of(Verdict verdict) {
  if (verdict == Verdict::pass) return "Pass:";
  return verdict == Verdict::fail ? "Fail:" : "Cannot judge";
}

// Scans that were not analysed, of all that were named.
struct Scans {
  std::ptrdiff_t all = 0;
  std::ptrdiff_t unread = 0;
};
Scans scans_told_of(const Json& verdict) {
  const Json& quality = array_at(verdict, "quality");
  const auto unread = [](const Json& scan) {
    return !scan.is_object() || scan.value("analysed", Json()) != true;
  };
  return {static_cast<std::ptrdiff_t>(quality.size()), std::count_if(quality.begin(), quality.end(), unread)};
}

std::string wrong_with_limit(const Json& entry, double guard, const Scans& scans,
                             std::vector<LimitVerdict>& limits) {
  const auto name = string_at(entry, "limit");
  const auto kind = limit_named(name);
  if (!kind) return "names the limit " + in_quotes(name) + ", which this version does not know";
  const auto verdict = verdict_named(string_at(entry, "verdict"));
  if (!verdict) return "has no verdict on " + in_quotes(name);
  LimitVerdict limit;
  limit.kind = *kind;
  limit.verdict = *verdict;
  limit.limit = number_at(entry, "allowed");
  limit.measured = number_at(entry, "measured");
  limit.sigma = number_at(entry, "sigma");
  if (!accept_detail::is_consistent(limit, guard)) {
    return fmt::format("says {} of {}, which its own numbers do not make: {} measured, {} allowed",
                       in_quotes(to_string(*verdict)), in_quotes(name), limit.measured, limit.limit);
  }
  if (*kind == LimitKind::scans && limit.measured != static_cast<double>(scans.unread))
    return "counts other scans that could not be analysed than it lists";
  for (const auto& other : limits) {
    if (other.kind == limit.kind) return "judges " + in_quotes(name) + " twice";
  }
  limits.push_back(std::move(limit));
  return {};
}

}  // namespace

std::string wrong_with_verdict(const Json& verdict) {
  const auto said = verdict_named(string_at(verdict, "verdict"));
  if (!said) return "has no verdict";
  const Scans scans = scans_told_of(verdict);
  std::vector<LimitVerdict> limits;
  for (const Json& entry : array_at(verdict, "limits")) {
    if (!entry.is_object()) return "has a limit that is none";
    if (auto why = wrong_with_limit(entry, number_at(verdict, "guard"), scans, limits); !why.empty())
      return why;
  }
  if (limits.empty() || limits.front().kind != LimitKind::scans)
    return "does not say whether its scans were analysed";
  const Verdict made = accept_detail::together(limits, scans.unread < scans.all);
  // If scans hardly show the machine, finding nothing is no pass, whatever the limits say.
  const bool silent = made == Verdict::pass && *said == Verdict::cannot_judge;
  if (made != *said && !silent)
    return fmt::format("says {}, but its limits make {}", in_quotes(to_string(*said)),
                       in_quotes(to_string(made)));
  const std::string begins = beginning_of(*said);
  if (!string_at(verdict, "sentence").starts_with(begins))
    return fmt::format("says {}, but its sentence does not begin with {}", in_quotes(to_string(*said)),
                       in_quotes(begins));
  return {};
}

}  // namespace scrapetrace::report
