#pragma once
// JSON in and out of a casebook.

#include <string>
#include <vector>

#include "scrapetrace/provenance.h"
#include "scrapetrace/recheck.h"
#include "scrapetrace/result.h"

namespace scrapetrace::report {

// What a record keeps beside the whole of a report.
struct ReportFacts {
  std::string layout;
  std::string layout_sha256;  // empty when the report does not say
  std::string tool_version;
  std::string summary;
  std::string outcome;           // of a recheck: its next step; of a verdict: the verdict
  std::vector<Cleaned> cleaned;  // of a recheck
  std::vector<InputFile> scans;  // that it says it rests on
};

// Of a JSON written by locate, recheck or accept; `schema` is what it must be, as in "scrapetrace.locate/1".
Result<ReportFacts> facts_of(const std::string& json, const std::string& file, const std::string& schema);

std::string scan_body(const std::string& file, const std::string& sha256);
std::string scan_hash(const std::string& body);  // of what scan_body() made; empty for anything else
std::string cleaned_body(const Cleaned& place);
std::string note_body(const std::string& note);

// One record as a JSON object, its body embedded; `fields` are name and value.
std::string record_json(std::int64_t number, const std::vector<std::pair<std::string, std::string>>& fields,
                        const std::string& body, const std::string& picture);

}  // namespace scrapetrace::report
