#include "base/wording.h"
#include "cli/html.h"
#include "cli/input.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/picture.h"
#include "cli/program.h"
#include "cli/progress.h"
#include "cli/versions.h"
#include "score/case_file.h"
#include "score/run_cases.h"
#include "score/score_json.h"
#include "score/score_svg.h"
#include "score/score_text.h"

namespace scrapetrace::score {

using cli::ExitStatus;

namespace {

struct Request {
  std::vector<std::string> layouts;
  std::vector<std::string> charts;
  std::vector<std::string> kinds;
  int cases = 100;
  int jobs = 1;
  bool no_ideal = false;
  bool other_builds = false;
  std::string resume;
  std::string json;
  std::string picture;
  ScoreOptions options;
};

std::string wrong_with(Request& request) {
  if (request.layouts.empty()) return "--layout is missing: a machine's description.";
  if (request.layouts.size() != request.charts.size())
    return "--layout and --chart go in pairs: give each layout its chart.";
  if (request.cases < 1 || request.cases > 1000000) return "--cases must lie between 1 and 1000000.";
  if (request.jobs < 1 || request.jobs > 256) return "--jobs must lie between 1 and 256.";
  if (request.options.sheets < 2 || request.options.sheets > 20) return "--sheets must lie between 2 and 20.";
  const double full = request.options.full_height;
  if (!(full >= 0 && full <= 1)) return "--full-height must lie between 0 and 1.";
  std::vector<std::string> known;
  for (std::size_t k = 0; k < kCaseKindCount; ++k) known.emplace_back(to_string(static_cast<CaseKind>(k)));
  for (const auto& word : request.kinds) {
    const auto kind = case_kind_from(word);
    if (!kind) return "no kind of case is called " + in_quotes(word) + "; known: " + any_of(known) + ".";
    request.options.kinds.push_back(*kind);
  }
  return {};
}

Problems check_outputs(const Request& request) {
  Problems problems;
  const auto add = [&](Problems more) {
    for (auto& problem : more) problems.push_back(std::move(problem));
  };
  if (!request.json.empty() && request.json != "-") add(cli::check_writable(request.json));
  if (!request.resume.empty()) add(cli::check_kept(request.resume));
  if (!request.picture.empty()) add(cli::check_picture(request.picture));
  return problems;
}

Result<std::vector<ScoreMachine>> load_machines(const Request& request) {
  std::vector<ScoreMachine> machines;
  for (std::size_t k = 0; k < request.layouts.size(); ++k) {
    const auto machine = cli::load_layout(request.layouts[k]);
    if (!machine) return machine.problems();
    const auto chart = cli::load_chart(request.charts[k], *machine);
    if (!chart) return chart.problems();
    for (const auto& other : machines) {
      if (other.name == machine->name)
        return Problem{request.layouts[k], 0, 0,
                       "has the same name as another layout, " + in_quotes(machine->name) + "; rename one"};
    }
    machines.push_back({machine->name, *machine, *chart});
  }
  return machines;
}

ExitStatus run(const Request& request, const std::vector<ScoreMachine>& machines) {
  const std::string program = cli::this_build();
  CaseFile file(request.resume, run_line(machines, request.options, program), request.other_builds);
  if (const auto problems = file.open(request.cases); !problems.empty()) return cli::refuse(problems);
  const auto missing = file.missing(request.cases);
  cli::Progress progress(static_cast<int>(missing.size()));
  run_cases(machines, request.options, missing, request.jobs, [&](CaseRecord record) {
    file.add(std::move(record));
    progress.step();
  });
  progress.finish();
  const ScoreSummary summary = summarise(machines, file.records(), request.options.seed);
  std::vector<cli::Output> outputs;
  if (!request.json.empty())
    outputs.push_back({request.json, score_json(summary, machines, request.options, program,
                                                cli::origin_of(cli::numbered("layout", request.layouts,
                                                                             "chart", request.charts)))});
  if (request.picture == "-") {
    outputs.push_back({request.picture, score_svg(summary)});
  } else if (!request.picture.empty()) {
    const auto problems = cli::write_picture(request.picture, score_svg(summary));
    if (!problems.empty()) return cli::refuse(problems);
  }
  return cli::hand_over(outputs, score_text(summary));
}

ExitStatus run(const cli::Arguments& arguments) {
  Request request;
  cli::Options options(
      "score --layout LAYOUT --chart CHART [--layout ... --chart ...] [--cases N] [--seed N] [--jobs N]\n"
      "       [--resume FILE] [--json FILE] [--picture FILE]",
      "Draws random faults of known machines, renders their scans, lets locate read them, and says how good "
      "the answers\nare, beside a reader who knows everything but the fault.",
      "score --layout geometry/hobdrel.toml --chart geometry/charts/hobdrel_bands.toml --cases 300 --resume "
      "cases.jsonl --picture score.png");
  options.input("layout", request.layouts, "FILE", "a machine; repeatable, each with its chart");
  options.input("chart", request.charts, "FILE", "what that machine prints; in the order of the layouts");
  options.value("cases", request.cases, "N", "how many to draw");
  options.value("seed", request.options.seed, "N", "of the draws: the same seed gives the same cases");
  options.value("jobs", request.jobs, "N", "cases at a time; the results do not depend on it");
  options.value("kind", request.kinds, "KIND",
                "only this kind, repeatable: residue, low_loss, faint, cut, evidence, clean, dead_jet");
  options.value("full-height", request.options.full_height, "SHARE",
                "part of the cases on whole sheets; the others are cut short and render faster");
  options.value("sheets", request.options.sheets, "N", "that a case of kind evidence has");
  options.flag("no-ideal", request.no_ideal, "leave out the ideal reader");
  options.output("resume", request.resume, "FILE",
                 "one line of JSON per case as it is done; what it holds already is not done again");
  options.flag("other-builds", request.other_builds,
               "also take up cases that another build of this program judged");
  options.output("json", request.json, "FILE|-", "the figures for programs; with - alone on standard output");
  options.output("picture", request.picture, "FILE", "curves, .png or .svg");
  options.writes_files();
  options.stands_alone();
  if (const auto status = options.parse(arguments)) return *status;
  if (const auto what = wrong_with(request); !what.empty()) return options.reject(what);
  request.options.ideal = !request.no_ideal;
  if (const auto problems = check_outputs(request); !problems.empty()) return cli::refuse(problems);
  const auto machines = load_machines(request);
  if (!machines) return cli::refuse(machines.problems());
  return run(request, *machines);
}

}  // namespace
}  // namespace scrapetrace::score

int main(int argc, char** argv) {
  return scrapetrace::cli::run_program([&] {
    return scrapetrace::score::run({argv + (argc > 0 ? 1 : 0), argv + argc});
  });
}
