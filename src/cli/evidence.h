#pragma once
// Shared by all commands that judge scans: options, reading, and output of reports.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/exit_status.h"
#include "cli/options.h"
#include "cli/reading.h"
#include "cli/stage_times.h"
#include "report/units.h"
#include "scrapetrace/locate.h"
#include "scrapetrace/photo.h"

namespace scrapetrace::cli {

struct EvidenceRequest {
  std::string layout;
  std::string chart;
  std::string json;
  std::string picture;
  std::string lead_edge;                      // as given; empty: not
  std::string mirrored;                       // as given; empty: not
  std::string corners;                        // as given; empty: not
  std::optional<PhotoCorners> photo_corners;  // once checked
  std::string html;
  std::string units = "mm";  // as given; `unit` once checked
  report::LengthUnit unit = report::LengthUnit::mm;
  std::string trace;                   // output file for stage times; empty: none
  std::shared_ptr<StageTimes> stages;  // of `trace`; null without
  LocateOptions options;
  ReadingRequest reading;
  std::vector<std::string> before;  // scans from before the work on the machine
  std::string command_line;         // for the HTML report
  std::vector<std::pair<std::string, std::string>> settings;
  [[nodiscard]] bool json_to_stdout() const { return json == "-"; }
  [[nodiscard]] bool html_to_stdout() const { return html == "-"; }
  [[nodiscard]] bool picture_to_stdout() const { return picture == "-"; }
  [[nodiscard]] bool text_to_stdout() const {
    return !json_to_stdout() && !html_to_stdout() && !picture_to_stdout();
  }
};

void offer_machine(Options& options, EvidenceRequest& request);  // --layout, --chart
void offer_json(Options& options, EvidenceRequest& request);     // --json
// --dpi, --lead-edge, --mirrored, --false-alarms, --trace, and what scans may ask for (reading.h).
void offer_reading(Options& options, EvidenceRequest& request);
void offer_faint(Options& options, EvidenceRequest& request);  // --faint-too
void offer_html(Options& options, EvidenceRequest& request);   // --html, --units
// All of these and --picture.
void offer_evidence(Options& options, EvidenceRequest& request);

// Copies the parsed command line and settings.
void note_command(const Options& options, EvidenceRequest& request);

// The first invalid value, as a sentence; empty when all are valid. Converts text to options.
std::string wrong_with(EvidenceRequest& request);
// The same for scans that are judged together.
std::string wrong_with_scans(const std::vector<std::string>& scans);

// Problems with the outputs, checked before the work starts.
Problems check_outputs(const EvidenceRequest& request);

struct Machine {
  Layout layout;
  std::optional<Chart> chart;
  Reader reader;
  [[nodiscard]] const Chart* chart_given() const { return chart ? &*chart : nullptr; }
};
// Also starts the page reader, so call it while the program has one thread. `cases`: number judged in
// parallel.
Result<Machine> load_machine(const EvidenceRequest& request, int cases = 1);

struct Reports {
  std::string text;     // to standard output, unless the JSON or the HTML goes there
  std::string json;     // to where --json says
  std::string picture;  // SVG, for --picture
  std::string html;     // to where --html says
};
// Writes the stage times if wanted.
ExitStatus write_trace(const EvidenceRequest& request);

// Writes all outputs, stage times last. After a failed file, standard output is still written.
ExitStatus deliver(const EvidenceRequest& request, const Reports& reports);

// scan_failed when a scan could not be analysed.
ExitStatus status_of(const std::vector<ScanReport>& scans);

}  // namespace scrapetrace::cli
