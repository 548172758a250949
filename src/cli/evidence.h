#pragma once
// What every command that judges scans shares: the options that name the evidence, reading it, and handing
// over the reports.

#include <optional>
#include <string>
#include <vector>

#include "cli/exit_status.h"
#include "cli/options.h"
#include "scrapetrace/locate.h"

namespace scrapetrace::cli {

struct EvidenceRequest {
  std::string layout;
  std::string chart;
  std::string json;
  std::string picture;
  LocateOptions options;
  [[nodiscard]] bool json_to_stdout() const { return json == "-"; }
};

void offer_machine(Options& options, EvidenceRequest& request);  // --layout, --chart
void offer_json(Options& options, EvidenceRequest& request);     // --json
void offer_reading(Options& options, EvidenceRequest& request);  // --dpi, --false-alarms
// All of these and --picture.
void offer_evidence(Options& options, EvidenceRequest& request);

// What is wrong with the values given, as one sentence; empty when nothing is.
std::string wrong_with(const EvidenceRequest& request);
// The same for a list of scans that are to be weighed together.
std::string wrong_with_scans(const std::vector<std::string>& scans);

// What keeps the outputs from being written, before the work is done.
Problems check_outputs(const EvidenceRequest& request);

struct Machine {
  Layout layout;
  std::optional<Chart> chart;
  [[nodiscard]] const Chart* chart_given() const { return chart ? &*chart : nullptr; }
};
Result<Machine> load_machine(const EvidenceRequest& request);

// A file that cannot be read says so in its entry.
std::vector<ScanInput> read_scans(const EvidenceRequest& request, const Machine& machine,
                                  const std::vector<std::string>& files);

// Reads the files and analyses them together; with thumbnails when an output shows the page.
LocateResult locate_files(const EvidenceRequest& request, const Machine& machine,
                          const std::vector<std::string>& files);

struct Reports {
  std::string text;     // to standard output, unless the JSON goes there
  std::string json;     // to where --json says
  std::string picture;  // SVG, for --picture
};
// Writes what was asked for. A file that fails is complained of; standard output gets its words all the same.
ExitStatus deliver(const EvidenceRequest& request, const Reports& reports);

// scan_failed when some scan could not be analysed.
ExitStatus status_of(const std::vector<ScanReport>& scans);

}  // namespace scrapetrace::cli
