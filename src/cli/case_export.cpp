#include "cli/case_export.h"

#include "report/case_html.h"
#include "report/case_json.h"
#include "report/csv.h"

namespace scrapetrace::cli {

namespace {

using casebook::Record;

constexpr std::size_t kMostInExport = 128U << 20U;  // summaries, reports and pictures

// The selected records, unless they exceed the limit of one export.
Problems each_of(const casebook::Casebook& book, const std::string& unit,
                 const std::function<void(const Record&)>& visit) {
  std::size_t bytes = 0;
  auto problems = book.each(unit, [&](const Record& record) {
    bytes += record.unit.size() + record.summary.size() + record.body.size() + record.picture.size();
    if (bytes <= kMostInExport) visit(record);
  });
  if (problems.empty() && bytes > kMostInExport) {
    problems.push_back({"", 0, 0,
                        "the records hold more than one export takes (" +
                            std::to_string(kMostInExport >> 20U) +
                            " MB); export one unit at a time, with --unit"});
  }
  return problems;
}

std::vector<std::pair<std::string, std::string>> fields_of(const Record& r) {
  return {{"unit", r.unit},
          {"kind", r.kind},
          {"at", r.at},
          {"who", r.who},
          {"tool_version", r.tool_version},
          {"layout", r.layout},
          {"layout_sha256", r.layout_sha256},
          {"head", r.head},
          {"side", r.side},
          {"surface", r.surface},
          {"outcome", r.outcome},
          {"summary", r.summary},
          {"previous", r.previous},
          {"hash", r.hash}};
}

std::string csv_line(const Record& record) {
  std::string out = std::to_string(record.number);
  for (const auto& [name, value] : fields_of(record)) out += ',' + report::csv_cell(value);
  return out + "\r\n";
}

report::CaseEntry entry_of(const Record& r) {
  return {r.number, r.unit,    r.kind,    r.at,   r.who,    r.tool_version,
          r.layout, r.outcome, r.summary, r.hash, r.picture};
}

Result<std::string> page_of(const casebook::Casebook& book, const std::string& unit) {
  std::vector<report::CaseEntry> entries;
  const auto problems =
      each_of(book, unit, [&](const Record& record) { entries.push_back(entry_of(record)); });
  if (!problems.empty()) return problems;
  const auto chain = book.verify("");
  if (!chain) return chain.problems();
  return report::case_html(entries, {chain->records, chain->broken, chain->why, chain->last_hash},
                           SCRAPETRACE_VERSION);
}

}  // namespace

Result<std::string> export_records(const casebook::Casebook& book, const std::string& unit,
                                   const std::string& format) {
  if (format == "html") return page_of(book, unit);
  std::string out;
  if (format == "csv") {
    out = "number";
    for (const auto& [name, value] : fields_of({})) out += ',' + name;
    out += "\r\n";
  } else {
    out = "{\"schema\":\"scrapetrace.casebook/1\",\"records\":[";
  }
  bool first = true;
  const auto problems = each_of(book, unit, [&](const Record& record) {
    if (format == "csv") out += csv_line(record);
    if (format == "json") {
      out += (first ? "\n" : ",\n") +
             report::record_json(record.number, fields_of(record), record.body, record.picture);
    }
    first = false;
  });
  if (!problems.empty()) return problems;
  if (format == "json") out += "\n]}\n";
  return out;
}

}  // namespace scrapetrace::cli
