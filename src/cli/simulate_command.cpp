#include <functional>

#include "cli/commands.h"
#include "cli/html.h"
#include "cli/input.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/picture.h"
#include "cli/residue_flag.h"
#include "report/truth_json.h"
#include "scrapetrace/simulate.h"

namespace scrapetrace::cli {

namespace {

using layout::Scenario;

struct SimulateRequest {
  std::string layout;
  std::string chart;
  std::string scenario;
  std::vector<std::string> residues;
  std::string out;
  std::string truth;
  bool untagged = false;
  bool photo = false;
  Scenario flags;
};

// Flags override the scenario's values only when given.
class Overrides {
 public:
  Overrides(Options& options, Scenario& flags) : options_(options), flags_(flags) {}

  template <class Field>
  void add(const std::string& name, Field field, const std::string& what, const std::string& help) {
    options_.value(name, field(flags_), what, help);
    copies_.emplace_back([this, name, field](Scenario& scenario) {
      if (options_.given(name)) field(scenario) = field(flags_);
    });
  }
  void apply(Scenario& scenario) const {
    for (const auto& copy : copies_) copy(scenario);
  }

 private:
  Options& options_;
  Scenario& flags_;
  std::vector<std::function<void(Scenario&)>> copies_;
};

void add_overrides(Overrides& overrides) {
  overrides.add(
      "dpi", [](Scenario& s) -> double& { return s.scan.dpi; }, "N", "scan resolution");
  overrides.add(
      "skew", [](Scenario& s) -> double& { return s.scan.skew_deg; }, "DEG",
      "sheet turned clockwise on the scanner");
  overrides.add(
      "turn", [](Scenario& s) -> int& { return s.scan.turn_deg; }, "DEG",
      "quarter turns of the image: 0, 90, 180 or 270");
  overrides.add(
      "noise", [](Scenario& s) -> double& { return s.scan.noise; }, "N", "scanner noise, 8-bit code values");
  overrides.add(
      "blur", [](Scenario& s) -> double& { return s.scan.blur_px; }, "PX", "scanner blur, scan pixels");
  overrides.add(
      "margin", [](Scenario& s) -> double& { return s.scan.margin_mm; }, "MM",
      "scanner bed around the sheet; negative crops");
  overrides.add(
      "bits", [](Scenario& s) -> int& { return s.scan.bits; }, "N", "8 or 16");
  overrides.add(
      "seed", [](Scenario& s) -> std::uint64_t& { return s.scan.scan_seed; }, "N", "of this sheet and scan");
  overrides.add(
      "machine-seed", [](Scenario& s) -> std::uint64_t& { return s.print.machine_seed; }, "N",
      "of the machine's jets: keep it for sheets of one machine");
  overrides.add(
      "threads", [](Scenario& s) -> int& { return s.scan.threads; }, "N",
      "0: all there are; the image does not depend on it");
}

CameraOptions& camera_of(Scenario& scenario) {
  if (!scenario.camera) scenario.camera.emplace();
  return *scenario.camera;
}

void add_camera(Overrides& overrides) {
  overrides.add(
      "tilt", [](Scenario& s) -> double& { return camera_of(s).tilt_deg; }, "DEG",
      "photo: between the camera's axis and the sheet's normal");
  overrides.add(
      "tilt-towards", [](Scenario& s) -> double& { return camera_of(s).tilt_towards_deg; }, "DEG",
      "photo: direction on the sheet of the axis tilted about");
  overrides.add(
      "roll", [](Scenario& s) -> double& { return camera_of(s).roll_deg; }, "DEG",
      "photo: picture turned about the camera's axis");
  overrides.add(
      "fall-off", [](Scenario& s) -> double& { return camera_of(s).fall_off; }, "PART",
      "photo: light lost in the darkest corner");
}

void add_files(Options& options, SimulateRequest& request) {
  options.input("layout", request.layout, "FILE", "the machine");
  options.input("chart", request.chart, "FILE", "what is printed");
  options.input("scenario", request.scenario, "FILE",
                "what is wrong with the machine, and how it is scanned");
  options.value("residue", request.residues, "HEAD:SIDE:SURFACE[:OUTWARD_MM]",
                "one more bit of residue; repeatable");
  options.output("out", request.out, "IMG|-",
                 "the scan, .tif, .png or .jpg; with - a TIFF on standard output");
  options.output("truth", request.truth, "FILE|-", "what went in, as JSON; with - on standard output");
  options.flag("photo", request.photo, "take a photo of the sheet instead of scanning it");
  options.flag("untagged", request.untagged, "leave the resolution out of the image file");
}

std::string missing(const SimulateRequest& request) {
  if (request.layout.empty()) return "--layout is missing.";
  if (request.chart.empty()) return "--chart is missing.";
  if (request.out.empty()) return "--out is missing.";
  return two_on_stdout({{"--out", request.out}, {"--truth", request.truth}});
}

Result<Scenario> scenario_of(const SimulateRequest& request, const Layout& machine) {
  Result<Scenario> loaded = Scenario{};
  if (!request.scenario.empty()) loaded = load_scenario(request.scenario, machine);
  if (!loaded) return loaded;
  Scenario scenario = std::move(loaded).value();
  for (const auto& flag : request.residues) {
    const auto residue = residue_from_flag(flag, machine);
    if (!residue) return residue.problems();
    scenario.causes.residues.push_back(*residue);
  }
  return scenario;
}

Problems write_scan(const SimulateRequest& request, const SimulatedScan& image) {
  scan::ImageOptions options;
  options.dpi = image.dpi;
  options.resolution_tags = !request.untagged && !request.photo;
  const scan::Pixels pixels{image.width_px, image.height_px, image.channels, image.bits, image.pixels};
  return write_pixels(pixels, request.out, options);
}

ExitStatus simulate(const SimulateRequest& request, const Overrides& overrides) {
  for (const auto& path : {request.out, request.truth}) {
    const auto problems = path.empty() || path == "-" ? Problems{} : check_writable(path);
    if (!problems.empty()) return refuse(problems);
  }
  const auto machine = load_layout(request.layout);
  if (!machine) return refuse(machine.problems());
  const auto chart = load_chart(request.chart, *machine);
  if (!chart) return refuse(chart.problems());
  auto loaded = scenario_of(request, *machine);
  if (!loaded) return refuse(loaded.problems());
  Scenario scenario = std::move(loaded).value();
  if (request.photo) camera_of(scenario);
  overrides.apply(scenario);
  const CameraOptions* camera = scenario.camera ? &*scenario.camera : nullptr;
  const auto image =
      camera != nullptr
          ? simulate_photo(*machine, *chart, scenario.causes, scenario.print, scenario.scan, *camera)
          : simulate_scan(*machine, *chart, scenario.causes, scenario.print, scenario.scan);
  if (!image) return refuse(image.problems());
  if (const auto problems = write_scan(request, *image); !problems.empty()) return refuse(problems);
  if (request.truth.empty()) return ExitStatus::ok;
  std::vector<NamedFile> files{{"layout", request.layout}, {"chart", request.chart}};
  if (!request.scenario.empty()) files.push_back({"scenario", request.scenario});
  return hand_over(request.truth, report::truth_json(*machine, *chart, scenario.causes, scenario.print,
                                                     scenario.scan, *image, origin_of(files), camera));
}

}  // namespace

ExitStatus run_simulate(const Arguments& arguments) {
  SimulateRequest request;
  Options options(
      "simulate --layout LAYOUT --chart CHART [--scenario FILE] --out IMG [--truth FILE]",
      "Renders the scan that a machine with known faults would give. Flags beat the scenario's values.",
      "scrapetrace simulate --layout geometry/hobdrel.toml --chart geometry/charts/hobdrel_bands.toml "
      "--residue 3:left:faceplate:2.5 --out scan.tif");
  add_files(options, request);
  Overrides overrides(options, request.flags);
  add_overrides(overrides);
  add_camera(overrides);
  options.writes_files();
  if (const auto status = options.parse(arguments)) return *status;
  if (const auto what = missing(request); !what.empty()) return options.reject(what);
  return simulate(request, overrides);
}

}  // namespace scrapetrace::cli
