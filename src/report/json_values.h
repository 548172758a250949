#pragma once
// Values as every JSON report writes them: rounded to what they mean, null for what cannot be computed, names
// as UTF-8 for certain.

#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "scrapetrace/findings.h"
#include "scrapetrace/jet_changes.h"
#include "scrapetrace/provenance.h"

namespace scrapetrace::report {

using Json = nlohmann::ordered_json;

Json number(double value, int digits);
Json mm(double value);           // three decimals
Json probability(double value);  // four; also for losses
Json text(const std::string& value);
Json texts(const std::vector<std::string>& values);
Json interval(const Interval& span);
Json intervals(const std::vector<Interval>& spans);
Json place(const std::string& head, Side side, const std::string& surface);
Json quality(const ScanReport& scan);
Json jet_change(const JetChange& found);
Json inputs(const Origin& origin);  // role, name and hash of every file that the findings rest on

}  // namespace scrapetrace::report
