#include "cli/case_export.h"

#include <fmt/format.h>

#include "report/base64.h"
#include "report/case_json.h"
#include "report/html_style.h"
#include "report/markup.h"
#include "report/words.h"

namespace scrapetrace::cli {

namespace {

using casebook::Record;

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
  for (const auto& [name, value] : fields_of(record)) out += ',' + csv_cell(value);
  return out + "\r\n";
}

report::Markup row(const Record& record) {
  using report::element;
  report::Markup what = element("div", report::printable(record.summary));
  if (!record.picture.empty()) {
    const std::string source = "data:image/png;base64," + report::base64(record.picture);
    what += report::Markup::trusted(
        fmt::format("<img width=\"300\" alt=\"the scan, small\" src=\"{}\">", source));
  }
  return element("tr", element("th", std::to_string(record.number), {{"scope", "row"}}) +
                           element("td", record.at) + element("td", report::printable(record.who)) +
                           element("td", report::printable(record.unit)) + element("td", record.kind) +
                           element("td", what) + element("td", record.hash.substr(0, 16)));
}

std::string html_head() {
  return fmt::format(
      "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" "
      "content=\"width=device-width, initial-scale=1\"><title>Casebook</title><style>{}\n"
      "table.book{{border-collapse:collapse;width:100%}}.book th,.book "
      "td{{text-align:left;vertical-align:top;"
      "padding:.4em .6em;border-bottom:1px solid #888;overflow-wrap:break-word}}</style></head>\n"
      "<body><main><h1>Casebook</h1>\n<table class=\"book\"><thead><tr><th scope=\"col\">No.</th>"
      "<th scope=\"col\">When</th><th scope=\"col\">Who</th><th scope=\"col\">Unit</th><th "
      "scope=\"col\">Kind</th>"
      "<th scope=\"col\">What</th><th scope=\"col\">Hash</th></tr></thead><tbody>\n",
      report::common_style());
}

}  // namespace

std::string csv_cell(const std::string& text) {
  std::string out = "\"";
  if (!text.empty() && std::string("=+-@\t\r\n").find(text.front()) != std::string::npos) out += '\'';
  for (const char c : report::valid_utf8(text)) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

Result<std::string> export_records(const casebook::Casebook& book, const std::string& unit,
                                   const std::string& format) {
  std::string out;
  if (format == "csv") {
    out = "number";
    for (const auto& [name, value] : fields_of({})) out += ',' + name;
    out += "\r\n";
  } else {
    out = format == "json" ? "{\"schema\":\"scrapetrace.casebook/1\",\"records\":[" : html_head();
  }
  bool first = true;
  const auto problems = book.each(unit, [&](const Record& record) {
    if (format == "csv") out += csv_line(record);
    if (format == "html") out += row(record).html() + '\n';
    if (format == "json") {
      out += (first ? "\n" : ",\n") +
             report::record_json(record.number, fields_of(record), record.body, record.picture);
    }
    first = false;
  });
  if (!problems.empty()) return problems;
  if (format == "json") out += "\n]}\n";
  if (format == "html") out += "</tbody></table></main></body></html>\n";
  return out;
}

}  // namespace scrapetrace::cli
