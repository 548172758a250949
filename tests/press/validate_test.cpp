// What the press refuses, and how it says so.

#include <gtest/gtest.h>

#include <functional>

#include "pages.h"

namespace scrapetrace {
namespace {

struct Request {
  Layout layout = testing::small_machine();
  Chart chart = testing::sheet_with({testing::all_over({"cyan"})});
  Causes causes;
  PrintOptions print = testing::even_print();
  ScanOptions scan = testing::sharp_scan();
  [[nodiscard]] Result<SimulatedScan> run() const {
    return simulate_scan(layout, chart, causes, print, scan);
  }
};

struct Refusal {
  const char* about;
  const char* value;
  std::function<void(Request&)> spoil;
};

TEST(Validate, AcceptsTheDefaults) {
  EXPECT_TRUE(Request{}.run().ok());
}

TEST(Validate, NamesTheOneThingThatIsWrong) {
  const double none = std::nan("");
  const std::vector<Refusal> refusals{
      {"jet_variation", "0.5", [](Request& r) { r.print.jet_variation = 0.5; }},
      {"mottle is", "-0.1", [](Request& r) { r.print.mottle = -0.1; }},
      {"mottle_mm", "0.1", [](Request& r) { r.print.mottle_mm = 0.1; }},
      {"screen_lpi", "500", [](Request& r) { r.print.screen_lpi = 500; }},
      {"grain", "nan", [&](Request& r) { r.print.grain = none; }},
      {"paper_white", "0;", [](Request& r) { r.print.paper_white = 0; }},
      {"stretch_x", "1.5", [](Request& r) { r.print.stretch_x = 1.5; }},
      {"shift_y_mm", "80", [](Request& r) { r.print.shift_y_mm = 80; }},
      {"dpi", "5;", [](Request& r) { r.scan.dpi = 5; }},
      {"blur_px", "-1", [](Request& r) { r.scan.blur_px = -1; }},
      {"noise", "100", [](Request& r) { r.scan.noise = 100; }},
      {"skew_deg", "20", [](Request& r) { r.scan.skew_deg = 20; }},
      {"turn_deg", "45", [](Request& r) { r.scan.turn_deg = 45; }},
      {"bed", "1.2", [](Request& r) { r.scan.bed = 1.2; }},
      {"bits", "12", [](Request& r) { r.scan.bits = 12; }},
      {"threads", "-2", [](Request& r) { r.scan.threads = -2; }},
      {"width in pixels", "5;", [](Request& r) { r.chart.sheet_mm[0] = 0.5; }},
      {"ink \"green\"", "patch 1", [](Request& r) { r.chart.patches[0].inks = {"green"}; }},
      {"coverage of patch 1", "1.5", [](Request& r) { r.chart.patches[0].coverage = 1.5; }},
      {"x_mm of patch 1", "9 to 4",
       [](Request& r) {
         r.chart.patches[0].x_mm = {9, 4};
       }},
      {"interleave", "shift_px",
       [](Request& r) {
         r.layout.interleave.shift_px = {0, 2, 4, 6};
       }},
      {"loss of residue 1", "1.2",
       [](Request& r) {
         r.causes.residues = {{0, true, 9, 1, 1.2, {}, "", {}, ""}};
       }},
      {"carriage of residue 1", "2",
       [](Request& r) {
         r.causes.residues = {{2, true, 9, 1, 0.2, {}, "", {}, ""}};
       }},
      {"width_mm of residue 1", "0;",
       [](Request& r) {
         r.causes.residues = {{0, true, 9, 0, 0.2, {}, "", {}, ""}};
       }},
      {"x_mm of residue 1", "nan",
       [&](Request& r) {
         r.causes.residues = {{0, true, none, 1, 0.2, {}, "", {}, ""}};
       }},
      {"y of drum scratch 1", "5 to 5",
       [](Request& r) {
         r.causes.scratches = {{9, 1, 0.2, {5, 5}}};
       }},
      {"jet of weak jet 1", "70",
       [](Request& r) {
         r.causes.jets = {{0, 0, 70, 1}};
       }},
      {"head of weak jet 1", "2",
       [](Request& r) {
         r.causes.jets = {{2, 0, 0, 1}};
       }},
      {"ink of weak jet 1", "3",
       [](Request& r) {
         r.causes.jets = {{0, 3, 0, 1}};
       }},
      {"density of blade haze 1", "0;",
       [](Request& r) {
         r.causes.hazes = {{9, 1, 0, {}}};
       }},
      {"gain of scanner line 1", "-1",
       [](Request& r) {
         r.causes.lines = {{0.5, 1, -1}};
       }},
      {"column_fraction of scanner line 1", "1.5",
       [](Request& r) {
         r.causes.lines = {{1.5, 1, 1}};
       }},
  };
  for (const auto& refusal : refusals) {
    Request request;
    refusal.spoil(request);
    const auto result = request.run();
    ASSERT_FALSE(result.ok()) << refusal.about;
    ASSERT_EQ(result.problems().size(), 1U) << refusal.about;
    const std::string& what = result.problems()[0].what;
    EXPECT_NE(what.find(refusal.about), std::string::npos) << what;
    EXPECT_NE(what.find(refusal.value), std::string::npos) << what;
  }
}

TEST(Validate, ReportsEveryProblemAtOnce) {
  Request request;
  request.print.grain = 2;
  request.scan.bits = 9;
  request.causes.residues = {{7, true, 9, -1, 0, {}, "", {}, ""}};
  const auto result = request.run();
  ASSERT_FALSE(result.ok());
  EXPECT_EQ(result.problems().size(), 5U);
}

}  // namespace
}  // namespace scrapetrace
