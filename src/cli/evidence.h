#pragma once
// What every command that judges scans shares: the options that name the evidence, reading it, and handing
// over the reports.

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
  std::string trace;                   // file for the stages' times; empty: not wanted
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

// Takes over what parse() found, besides the fields.
void note_command(const Options& options, EvidenceRequest& request);

// What is wrong with the values given, as one sentence; empty when nothing is. Puts words into options.
std::string wrong_with(EvidenceRequest& request);
// The same for a list of scans that are to be weighed together.
std::string wrong_with_scans(const std::vector<std::string>& scans);

// What keeps the outputs from being written, before the work is done.
Problems check_outputs(const EvidenceRequest& request);

struct Machine {
  Layout layout;
  std::optional<Chart> chart;
  Reader reader;
  [[nodiscard]] const Chart* chart_given() const { return chart ? &*chart : nullptr; }
};
// Starts the reader, too: call it while the program has one thread. `cases`: that are judged at a time.
Result<Machine> load_machine(const EvidenceRequest& request, int cases = 1);

struct Reports {
  std::string text;     // to standard output, unless the JSON or the HTML goes there
  std::string json;     // to where --json says
  std::string picture;  // SVG, for --picture
  std::string html;     // to where --html says
};
// Writes the stages' times, when they are wanted.
ExitStatus write_trace(const EvidenceRequest& request);

// Writes what was asked for, the stages' times last. A file that fails is complained of; standard output gets
// its words all the same.
ExitStatus deliver(const EvidenceRequest& request, const Reports& reports);

// scan_failed when some scan could not be analysed.
ExitStatus status_of(const std::vector<ScanReport>& scans);

}  // namespace scrapetrace::cli
