#pragma once
// Values in JSON reports: rounded to their precision, null when undefined, names as valid UTF-8.

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
Json inputs(const Origin& origin);  // role, name and hash of every input file

}  // namespace scrapetrace::report
