#include <fmt/format.h>

#include <optional>

#include "base/wording.h"
#include "cli/commands.h"
#include "cli/html.h"
#include "cli/input.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/picture.h"
#include "layout/write_chart.h"
#include "report/words.h"
#include "scrapetrace/layout_description.h"
#include "testpage/page_reach.h"
#include "testpage/paint.h"
#include "testpage/sheet_size.h"
#include "testpage/strip.h"
#include "testpage/test_page.h"

namespace scrapetrace::cli {

namespace {

struct PageRequest {
  std::string layout;
  std::string sheet;
  std::string pdf;
  std::string tiff;
  std::string chart;
  std::string strip;
  double dpi = 600;
  testpage::PageOptions page;
  [[nodiscard]] bool alone_on_stdout() const {
    return pdf == "-" || tiff == "-" || chart == "-" || strip == "-";
  }
  [[nodiscard]] bool wants_page() const { return !pdf.empty() || !tiff.empty() || !chart.empty(); }
};

std::string wrong_with(PageRequest& request) {
  if (request.layout.empty()) return "--layout is missing: the machine's description.";
  if (request.sheet.empty()) return "--sheet is missing: the size of the sheets.";
  const auto size = testpage::sheet_size(request.sheet);
  if (!size) {
    return "--sheet is " + in_quotes(request.sheet) + "; give WIDTHxLENGTH in mm, or one of " +
           testpage::known_sheets() + ".";
  }
  request.page.sheet_mm = *size;
  if (!request.wants_page() && request.strip.empty())
    return "nothing to write: give one or more of --pdf, --tiff, --chart and --strip.";
  if (auto what = two_on_stdout({{"--pdf", request.pdf},
                                 {"--tiff", request.tiff},
                                 {"--chart", request.chart},
                                 {"--strip", request.strip}});
      !what.empty())
    return what;
  if (!(request.dpi >= 50 && request.dpi <= 600)) return "--dpi must lie between 50 and 600.";
  if (!request.tiff.empty() && request.tiff != "-" && !is_stream(request.tiff) &&
      !request.tiff.ends_with(".tif") && !request.tiff.ends_with(".tiff"))
    return "--tiff is " + in_quotes(request.tiff) + "; the name must end in .tif or .tiff.";
  return {};
}

Problems write_pages(const std::string& path, const std::vector<testpage::Drawing>& pages,
                     const std::string& title) {
  if (path.empty()) return {};
  const auto bytes = testpage::paint_pdf(pages, title);
  if (!bytes) return bytes.problems();
  return path == "-" ? printed(*bytes) : write_file(path, *bytes);
}

Problems write_tiff(const PageRequest& request, const testpage::Drawing& page) {
  if (request.tiff.empty()) return {};
  const auto image = testpage::paint_pixels(page, request.dpi);
  if (!image) return image.problems();
  scan::ImageOptions options;
  options.dpi = request.dpi;
  return write_pixels({image->width_px, image->height_px, 3, 8, image->rgb}, request.tiff, options);
}

// Places that the page could not or not fully show.
std::string unseen(const Layout& machine, const testpage::PagePlan& plan) {
  std::string lines;
  for (const auto& reach : testpage::reach_of_page(machine, plan.print_x_mm)) {
    if (reach.fraction >= 0.995) continue;
    const Zone& zone = machine.zones[reach.zone];
    lines +=
        fmt::format("  {}: {}\n", report::place_name(machine.heads[reach.head].name, zone.side, zone.surface),
                    reach.fraction > 0 ? fmt::format("{:.0f} % of it", 100 * (1 - reach.fraction))
                                       : std::string("all of it"));
  }
  return lines;
}

std::string summary(const PageRequest& request, const Layout& machine, const testpage::PagePlan& plan) {
  std::string out =
      fmt::format("{}: {} patches and {} tags between x = {:.1f} and {:.1f} mm of {:g} x {:g} mm.\n",
                  report::printable(plan.chart.name), plan.chart.patches.size(), plan.chart.marks.size(),
                  plan.print_x_mm[0], plan.print_x_mm[1], request.page.sheet_mm[0], request.page.sheet_mm[1]);
  const std::string lines = unseen(machine, plan);
  if (lines.empty()) return out + "Residue at every place of the layout would touch its ink.\n";
  return out + "No ink of this page passes, so that nothing is seen of residue at\n" + lines;
}

Problems write_page(const PageRequest& request, const Layout& machine, const LayoutDescription& description,
                    std::string& words) {
  const auto plan = testpage::plan_page(machine, description, request.page);
  if (!plan) return plan.problems();
  const auto page = testpage::draw_test_page(machine, description, *plan);
  Problems problems = write_pages(request.pdf, {page}, plan->chart.name);
  if (problems.empty()) problems = write_tiff(request, page);
  const auto chart =
      layout::write_chart(plan->chart, "What the test page holds; tags of the family tag36h11.\n" +
                                           report::origin_sentence(origin_of({{"layout", request.layout}})));
  if (problems.empty() && !request.chart.empty())
    problems = request.chart == "-" ? printed(chart) : write_file(request.chart, chart);
  words += summary(request, machine, *plan);
  return problems;
}

Problems write_strip(const PageRequest& request, const Layout& machine,
                     const LayoutDescription& description) {
  testpage::StripOptions options;
  options.sheet_width_mm = request.page.sheet_mm[0];
  for (const auto caution : report::cautions()) options.cautions.emplace_back(caution);
  return write_pages(request.strip, testpage::draw_strips(machine, description, options),
                     machine.name + " paper rulers");
}

ExitStatus make_page(const PageRequest& request) {
  for (const auto& path : {request.pdf, request.tiff, request.chart, request.strip}) {
    const auto problems = path.empty() || path == "-" ? Problems{} : check_writable(path);
    if (!problems.empty()) return refuse(problems);
  }
  const auto machine = load_layout(request.layout);
  if (!machine) return refuse(machine.problems());
  const auto description = layout::describe_layout(*machine);
  std::string words;
  if (request.wants_page()) {
    const auto problems = write_page(request, *machine, description, words);
    if (!problems.empty()) return refuse(problems);
  }
  if (!request.strip.empty()) {
    const auto problems = write_strip(request, *machine, description);
    if (!problems.empty()) return refuse(problems);
    words += "Measure the strip's 100 mm bar before use; docs/safety.md before you go near the carriages.\n";
  }
  return request.alone_on_stdout() ? ExitStatus::ok : print_result(words);
}

}  // namespace

ExitStatus run_page(const Arguments& arguments) {
  PageRequest request;
  Options options(
      "page --layout LAYOUT --sheet SIZE [--pdf FILE|-] [--tiff FILE|-] [--chart FILE|-] [--strip FILE|-]",
      "Makes a test page for a machine: solid bands of every ink, tags that a scan is found by, and the "
      "chart "
      "that locate needs.\nPrint it at 100 %, without fitting to the page and without colour matching.",
      "scrapetrace page --layout geometry/hobdrel.toml --sheet sra3 --pdf page.pdf --chart page.toml");
  options.input("layout", request.layout, "FILE", "the machine");
  options.value("sheet", request.sheet, "SIZE", "WIDTHxLENGTH in mm, or " + testpage::known_sheets());
  options.output("pdf", request.pdf, "FILE|-", "the page at true size");
  options.output("tiff", request.tiff, "FILE|-", "the page in pixels");
  options.output("chart", request.chart, "FILE|-",
                 "what the page holds, for locate; with - alone on standard output");
  options.output("strip", request.strip, "FILE|-",
                 "paper rulers to hold against a print and the carriages, a PDF of A4 sheets");
  options.value("dpi", request.dpi, "N", "of the TIFF, 50 to 600");
  options.value("margin", request.page.margin_mm, "MM", "kept free of print at the edges, 0 to 30");
  options.value("tag", request.page.tag_mm, "MM", "size of the tags, 4 to 20");
  options.writes_files();
  if (const auto status = options.parse(arguments)) return *status;
  if (const auto what = wrong_with(request); !what.empty()) return options.reject(what);
  return make_page(request);
}

}  // namespace scrapetrace::cli
