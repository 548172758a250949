#include "base/wording.h"
#include "cli/commands.h"
#include "cli/html.h"
#include "cli/input.h"
#include "cli/layout_fit.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/picture.h"
#include "report/layout_svg.h"
#include "scrapetrace/layout_description.h"
#include "scrapetrace/report.h"

namespace scrapetrace::cli {

namespace {

ExitStatus describe(const std::string& file, const std::string& svg) {
  if (!svg.empty()) {
    if (const auto problems = check_picture(svg); !problems.empty()) return refuse(problems);
  }
  const auto machine = load_layout(file);
  if (!machine) return refuse(machine.problems());
  const auto description = layout::describe_layout(*machine);
  const auto origin = origin_of({{"layout", file}});
  const auto drawn = [&] {
    return report::layout_svg(*machine, description, report::origin_sentence(origin));
  };
  if (svg == "-") return print_bytes(drawn());
  if (!svg.empty()) {
    const auto problems = write_picture(svg, drawn());
    if (!problems.empty()) return refuse(problems);
  }
  return print_result(report::layout_text(*machine, description) + report::origin_text(origin));
}

}  // namespace

ExitStatus run_layout(const Arguments& arguments) {
  std::vector<std::string> words;
  std::string svg;
  LayoutFitRequest fit;
  Options options(
      "layout FILE [--svg OUT] | layout fit --layout START [--chart CHART] [--seen FILE|-] [--off "
      "HEAD:JET... SCAN...] [--out FILE|-] [--json FILE|-] [--html FILE|-]",
      "Checks a layout file and shows what it amounts to: columns, seams, carriages and places that\n"
      "share the drum. With 'fit': a layout for a machine never seen, from known places on it and a\n"
      "layout to start from; see docs/layout-fit.md. (A file called fit is ./fit.)",
      "scrapetrace layout geometry/hobdrel.toml --svg hobdrel.svg\n"
      "scrapetrace layout fit --layout geometry/tavvick.toml --seen fixtures/places/tavvick_bench.toml --out "
      "fitted.toml --html fitted.html");
  options.output("svg", svg, "OUT|-",
                 "also draw it, to a .svg or .png file; with - the SVG alone on standard output");
  offer_layout_fit(options, fit);
  options.words("file", words, -1);
  options.part(layout_fit_part());
  options.writes_files();
  if (const auto status = options.parse(arguments)) return *status;
  if (words.empty()) return options.reject("no layout file given.");
  note_command(options, fit.evidence);
  if (words.front() == "fit") {
    fit.scans.assign(words.begin() + 1, words.end());
    take_scans_after_jets(fit);
    const std::string what = wrong_with(fit);
    return what.empty() ? fit_layout_to(fit) : options.reject(what);
  }
  for (const char* name : {"layout", "chart", "seen", "off", "out", "json", "html", "dpi", "lead-edge",
                           "mirrored", "false-alarms"}) {
    if (options.given(name)) return options.reject(std::string("--") + name + " belongs to layout fit.");
  }
  if (words.size() > 1) {
    return options.reject("more files are given than this command takes." +
                          did_you_mean(words.front(), {"fit"}));
  }
  if (options.given("svg") && svg.empty()) return options.reject("--svg needs a name.");
  return describe(words.front(), svg);
}

}  // namespace scrapetrace::cli
