#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <regex>

#include "base/wording.h"
#include "casebook/zone_priors.h"
#include "cli/case_add.h"
#include "cli/case_export.h"
#include "cli/commands.h"
#include "cli/input.h"
#include "cli/options.h"
#include "cli/output.h"
#include "layout/write_layout.h"
#include "report/words.h"

namespace scrapetrace::cli {

namespace {

struct CaseRequest {
  CaseAddition addition;
  std::vector<std::string> action;
  std::string format = "json";
  std::string out = "-";
  std::string expect;
  double weight = 10;  // cases: common practice, no source
};

// A problem when the unit has no records: a misspelt name must not look like an empty history.
Problems unknown_unit(const CaseRequest& request, const casebook::Casebook& book) {
  const std::string& unit = request.addition.unit;
  if (unit.empty()) return {};
  std::vector<std::string> units;
  auto problems = book.each("", [&](const casebook::Record& record) {
    if (std::find(units.begin(), units.end(), record.unit) == units.end()) units.push_back(record.unit);
  });
  if (!problems.empty() || std::find(units.begin(), units.end(), unit) != units.end()) return problems;
  return {{request.addition.book, 0, 0,
           fmt::format("has no record of the unit {}.{}", in_quotes(unit), did_you_mean(unit, units))}};
}

ExitStatus show(const CaseRequest& request, const casebook::Casebook& book) {
  std::string out;
  const auto problems = book.each(request.addition.unit, [&](const casebook::Record& record) {
    out += fmt::format("{:>4}  {}  {}  {}  {}\n      {}\n", record.number, record.at,
                       report::printable(record.unit), record.kind, report::printable(record.who),
                       report::printable(record.summary));
  });
  if (!problems.empty()) return refuse(problems);
  return print_result(out.empty() ? "No record.\n" : out);
}

ExitStatus export_case(const CaseRequest& request, const casebook::Casebook& book) {
  const auto text = export_records(book, request.addition.unit, request.format);
  if (!text) return refuse(text.problems());
  if (request.out == "-") return print_bytes(*text);
  auto problems = check_writable(request.out);
  if (problems.empty()) problems = write_file(request.out, *text);
  return problems.empty() ? ExitStatus::ok : refuse(problems);
}

ExitStatus verify(const CaseRequest& request, const casebook::Casebook& book) {
  const auto found = book.verify(request.expect);
  if (!found) return refuse(found.problems());
  if (found->broken > 0) {
    const auto status = print_result(fmt::format("Broken at record {}: {}.\n", found->broken, found->why));
    return status == ExitStatus::ok ? ExitStatus::failed_limits : status;
  }
  if (found->records == 0)
    return print_result("Empty: no record was ever added, so there is nothing to check.\n");
  return print_result(fmt::format("Whole: {} record{}, the last with hash {}\n", found->records,
                                  found->records == 1 ? "" : "s", found->last_hash));
}

ExitStatus priors(const CaseRequest& request, const casebook::Casebook& book) {
  const auto layout = load_layout(request.addition.layout);
  if (!layout) return refuse(layout.problems());
  const auto whole = book.verify("");
  if (!whole) return refuse(whole.problems());
  if (whole->broken > 0) {
    return refuse(
        {{request.addition.book, 0, 0,
          fmt::format("record {} is not as it was written, so its cases count for nothing; see case "
                      "verify",
                      whole->broken)}});
  }
  const auto counts = book.closed_cases();
  if (!counts) return refuse(counts.problems());
  std::vector<casebook::ZoneCount> unknown;
  const auto zones = casebook::zone_priors(*layout, *counts, request.weight, unknown);
  std::int64_t closed = 0;
  for (const auto& zone : zones) closed += zone.closed;
  std::string out = fmt::format(
      "# Zone priors after {} closed case{}; the layout's own count as {} cases.\n"
      "# To be put in place of the [[zone]] tables of {}.\n",
      closed, closed == 1 ? "" : "s", request.weight, report::printable(layout->name));
  for (const auto& prior : zones) {
    Zone zone = layout->zones[prior.zone];
    zone.prior = std::round(prior.mean * 1e4) / 1e4;
    out += fmt::format("\n# {} closed; prior between {:.3f} and {:.3f} (95 %)\n", prior.closed, prior.low,
                       prior.high) +
           layout::zone_toml(zone);
  }
  for (const auto& count : unknown)
    complain(fmt::format("{} closed cases are of {}:{}, which the layout does not have; left out",
                         count.closed, count.side, report::printable(count.surface)));
  return print_result(out);
}

// A valid UTC date and time: records are permanent, and so would a typo be.
bool is_time(const std::string& text) {
  static const std::regex kForm("[0-9]{4}-[0-9]{2}-[0-9]{2}T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9]Z");
  if (!std::regex_match(text, kForm)) return false;
  using namespace std::chrono;
  return year_month_day{year{std::stoi(text.substr(0, 4))},
                        month{static_cast<unsigned>(std::stoi(text.substr(5, 2)))},
                        day{static_cast<unsigned>(std::stoi(text.substr(8, 2)))}}
      .ok();
}

std::string wrong_with(const CaseRequest& request) {
  const auto& a = request.addition;
  const std::vector<std::string> actions{"add", "show", "export", "verify", "priors"};
  if (request.action.size() != 1) return "say what to do: " + any_of(actions) + ".";
  const auto& action = request.action.front();
  if (std::find(actions.begin(), actions.end(), action) == actions.end())
    return fmt::format("unknown action {}.{}", in_quotes(action), did_you_mean(action, actions));
  if (a.book.empty()) return "--book is missing: the workshop's file of records.";
  if (action == "priors" && a.layout.empty()) return "--layout is missing: the machine whose zones count.";
  if (action == "priors" && !(request.weight > 0)) return "--weight must be above 0.";
  if (action == "export" && request.format != "json" && request.format != "csv" && request.format != "html")
    return "--format must be json, csv or html.";
  if (action != "add") return {};
  if (auto what = wrong_with(a.reading); !what.empty()) return what;
  if (a.unit.empty()) return "--unit is missing: which machine.";
  if (a.who.empty()) return "--who is missing: who did it.";
  if (!a.at.empty() && !is_time(a.at))
    return "--at must be a time in UTC, as 2025-03-01T14:05:09Z, not " + in_quotes(a.at) + ".";
  if (!a.limits.empty() && (a.layout.empty() || a.scans.empty()))
    return "--limits needs --layout and the scans that are to be judged, as --scan.";
  if (!a.before.empty() && a.limits.empty())
    return "--before goes with --limits: jets lost since these scans are judged.";
  if (!a.limits.empty() && !a.verdict.empty())
    return "--limits judges the scans anew, --verdict takes a verdict from a file: give one of the two.";
  const bool nothing = a.scans.empty() && a.finding.empty() && a.cleaned.empty() && a.recheck.empty() &&
                       a.verdict.empty() && a.limits.empty() && a.note.empty();
  return nothing
             ? "nothing to add: give --scan, --finding, --cleaned, --recheck, --verdict, --limits or --note."
             : "";
}

// The actions and their options.
void offer_actions(Options& options) {
  options.part(
      {"add",
       "case add --book FILE --unit NAME [--who NAME] [--at TIME] WHAT...",
       "Adds records to a unit's history: what of --scan, --finding, --cleaned, --recheck, --verdict,\n"
       "--limits and --note is given, in that order. Makes the file when it is not there yet.",
       "scrapetrace case add --book workshop.sqlite --unit W-17 --who Ona --layout "
       "geometry/hobdrel.toml --scan monday.tif --finding monday.json --cleaned 3:left:faceplate",
       {"book",
        "unit",
        "who",
        "at",
        "layout",
        "chart",
        "scan",
        "finding",
        "cleaned",
        "recheck",
        "verdict",
        "limits",
        "before",
        "note",
        "most-megapixels",
        "most-megabytes",
        "most-pages",
        "most-seconds",
        "most-memory",
        "most-case-megapixels",
        "most-case-memory",
        "most-case-seconds",
        "no-sandbox"}});
  options.part({"show",
                "case show --book FILE [--unit NAME]",
                "Lists the records, one after the other.",
                "scrapetrace case show --book workshop.sqlite --unit W-17",
                {"book", "unit"}});
  options.part({"export",
                "case export --book FILE [--unit NAME] [--format json|csv|html] [--out FILE|-]",
                "Writes the records for programs, for spreadsheets, or as a page to read and print.",
                "scrapetrace case export --book workshop.sqlite --unit W-17 --format html --out W-17.html",
                {"book", "unit", "format", "out", "force"}});
  options.part(
      {"verify",
       "case verify --book FILE [--expect HASH]",
       "Checks that no record was changed, taken out or put in between: every record carries the hash of\n"
       "the one before. Exit status 3 when one was.",
       "scrapetrace case verify --book workshop.sqlite",
       {"book", "expect"}});
  options.part(
      {"priors",
       "case priors --book FILE --layout LAYOUT [--weight CASES]",
       "Prints the zone priors that the closed cases support, with intervals, as tables for the layout.",
       "scrapetrace case priors --book workshop.sqlite --layout geometry/hobdrel.toml",
       {"book", "layout", "weight"}});
}

}  // namespace

ExitStatus run_case(const Arguments& arguments) {
  CaseRequest request;
  auto& a = request.addition;
  if (const char* user = std::getenv("USER")) a.who = user;
  Options options(
      "case add|show|export|verify|priors --book FILE [OPTIONS]",
      "Keeps the history of a workshop's units in one file to which records are only ever added: scans,\n"
      "findings, cleanings, rechecks, verdicts. See docs/case.md.",
      "scrapetrace case add --book workshop.sqlite --unit W-17 --who Ona --layout geometry/hobdrel.toml "
      "--scan monday.tif --finding monday.json --cleaned 3:left:faceplate\n"
      "scrapetrace case show --book workshop.sqlite --unit W-17\n"
      "scrapetrace case export --book workshop.sqlite --unit W-17 --format html --out W-17.html\n"
      "scrapetrace case verify --book workshop.sqlite\n"
      "scrapetrace case priors --book workshop.sqlite --layout geometry/hobdrel.toml");
  options.input("book", a.book, "FILE", "the records; 'add' makes it");
  options.value("unit", a.unit, "NAME", "which machine; without it show and export give all");
  options.value("who", a.who, "NAME", "who did it; by default the user's name");
  options.value("at", a.at, "TIME", "when, UTC, as 2025-03-01T14:05:09Z; by default now");
  options.input("layout", a.layout, "FILE", "the machine");
  options.input("chart", a.chart, "FILE", "what was printed, for the small pictures of scans");
  options.input_list("scan", a.scans, "FILE...", "scans, kept as hash and small picture");
  options.input("finding", a.finding, "JSON", "what locate --json wrote");
  options.list("cleaned", a.cleaned, "HEAD:SIDE[:SURFACE]...",
               "what was cleaned, one surface each for priors");
  options.input("recheck", a.recheck, "JSON", "what recheck --json wrote");
  options.input("verdict", a.verdict, "JSON", "what accept --json wrote; held against its own numbers");
  options.input("limits", a.limits, "FILE", "judges the scans by these limits here and now");
  options.input_list("before", a.before, "SCAN...",
                     "with --limits: scans from before the work; lost jets fail");
  options.value("note", a.note, "TEXT", "anything else");
  options.value("format", request.format, "json|csv|html", "of an export; by default json");
  options.output("out", request.out, "FILE|-", "of an export; by default standard output");
  options.value("expect", request.expect, "HASH", "verify: a hash noted earlier, which must still be there");
  options.value("weight", request.weight, "CASES", "priors: how many cases the layout's own priors count as");
  options.words("action", request.action, -1);
  offer_limits(options, request.addition.reading);
  offer_actions(options);
  options.writes_files();
  if (const auto status = options.parse(arguments)) return *status;
  if (const auto what = wrong_with(request); !what.empty()) return options.reject(what);
  const auto& action = request.action.front();
  if (action == "add") return add_to_case(a);
  const auto book = casebook::Casebook::open(a.book, false);
  if (!book) return refuse(book.problems());
  if (action == "show" || action == "export") {
    if (const auto problems = unknown_unit(request, *book); !problems.empty()) return refuse(problems);
  }
  if (action == "show") return show(request, *book);
  if (action == "export") return export_case(request, *book);
  return action == "verify" ? verify(request, *book) : priors(request, *book);
}

}  // namespace scrapetrace::cli
