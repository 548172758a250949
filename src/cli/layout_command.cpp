#include "cli/commands.h"
#include "cli/input.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/picture.h"
#include "layout/describe_layout.h"
#include "report/layout_svg.h"
#include "report/layout_text.h"

namespace scrapetrace::cli {

ExitStatus run_layout(const Arguments& arguments) {
  std::vector<std::string> files;
  std::string svg;
  Options options(
      "layout FILE [--svg OUT]",
      "Checks a layout file and shows what it amounts to: columns, seams, carriages and places that "
      "share the drum.",
      "scrapetrace layout geometry/hobdrel.toml --svg hobdrel.svg");
  options.value("svg", svg, "OUT", "also draw it, to a .svg or .png file");
  options.words("file", files, 1);
  if (const auto status = options.parse(arguments)) return *status;
  if (files.empty()) return options.reject("no layout file given.");
  if (options.given("svg")) {
    if (const auto problems = check_picture(svg); !problems.empty()) return refuse(problems);
  }
  const auto machine = load_layout(files[0]);
  if (!machine) return refuse(machine.problems());
  const auto description = layout::describe_layout(*machine);
  if (options.given("svg")) {
    const auto problems = write_picture(svg, report::layout_svg(*machine, description));
    if (!problems.empty()) return refuse(problems);
  }
  return print_result(report::layout_text(*machine, description));
}

}  // namespace scrapetrace::cli
