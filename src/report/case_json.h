#pragma once
// JSON for casebook records.

#include <string>
#include <vector>

#include "scrapetrace/provenance.h"
#include "scrapetrace/recheck.h"
#include "scrapetrace/result.h"

namespace scrapetrace::report {

// The facts of a report that a record stores besides its JSON.
struct ReportFacts {
  std::string layout;
  std::string layout_sha256;  // empty when the report does not say
  std::string tool_version;
  std::string summary;
  std::string outcome;           // next step of a recheck, or verdict
  std::vector<Cleaned> cleaned;  // of a recheck
  std::vector<InputFile> scans;  // that it is based on
};

// From the JSON of locate, recheck or accept; `schema` is the expected one, as in "scrapetrace.locate/1".
Result<ReportFacts> facts_of(const std::string& json, const std::string& file, const std::string& schema);

std::string scan_body(const std::string& file, const std::string& sha256);
std::string scan_hash(const std::string& body);  // of scan_body()'s result; empty for other text
std::string cleaned_body(const Cleaned& place);
std::string note_body(const std::string& note);

// One record as a JSON object with its body embedded; `fields` are (name, value).
std::string record_json(std::int64_t number, const std::vector<std::pair<std::string, std::string>>& fields,
                        const std::string& body, const std::string& picture);

}  // namespace scrapetrace::report
