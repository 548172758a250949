// Every field of a reply, one at a time put to what cannot be.

#include "sandbox/check_reply.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "sandbox/honest_page.h"
#include "scan/shared_messages.h"

namespace scrapetrace::sandbox {
namespace {

struct Lie {
  std::string field;
  std::function<void(PageRaster&)> tell;
};

constexpr double kNoNumber = std::numeric_limits<double>::quiet_NaN();

// Twice the light of the page, so that the wire finds nothing amiss.
void make_twice_as_high(PageRaster& page) {
  page.height_px *= 2;
  auto& light = page.linear.own();
  const auto half = light;
  light.insert(light.end(), half.begin(), half.end());
}

TEST(CheckReply, TakesAnHonestPage) {
  EXPECT_EQ(impossible_field(honest_page(honest_request()), honest_request()), "");
  auto request = honest_request();
  request.read.overview = false;
  EXPECT_EQ(impossible_field(honest_page(request), request), "");
}

TEST(CheckReply, NamesTheFieldThatCannotBe) {
  const std::vector<Lie> lies{
      {"width_px, height_px", [](auto& page) { page.width_px = 200001; }},
      {"width_px, height_px", [](auto& page) { page.width_px = page.height_px = 30000; }},
      {"tag_dpi_across", [](auto& page) { page.tag_dpi_across = 1e6; }},
      {"tag_dpi_across", [](auto& page) { page.tag_dpi_across = 1e-6; }},
      {"tag_dpi_across", [](auto& page) { page.tag_dpi_across = 59; }},
      {"tag_dpi_across", [](auto& page) { page.tag_dpi_across = -300; }},
      {"tag_dpi_across",
       [](auto& page) { page.tag_dpi_across = 72; }},  // what programs write without knowing
      {"tag_dpi_across", [](auto& page) { page.tag_dpi_across = kNoNumber; }},
      {"tag_dpi_along", [](auto& page) { page.tag_dpi_along = 5000; }},
      {"tag_dpi_along", [](auto& page) { page.tag_dpi_along = 0; }},  // one alone
      {"rows_per_block", [](auto& page) { page.rows_per_block += 1; }},
      {"flattening_sigma_mm", [](auto& page) { page.flattening_sigma_mm = 0.1; }},
      {"pixels.bits", [](auto& page) { page.pixels.bits = 12; }},
      {"pixels.codes", [](auto& page) { page.pixels.codes[1][7] += 1; }},
      {"pixels.codes", make_twice_as_high},
      {"pixels.codes", [](auto& page) { page.overview.transposed = true; }},
      {"pixels.steps", [](auto& page) { page.pixels.steps[2].count = 1e9; }},
      {"pixels.steps", [](auto& page) { page.pixels.steps[2].sum = -1; }},
      {"pixels.steps", [](auto& page) { page.pixels.steps[2].sum = 25 * page.pixels.steps[2].count; }},
      {"pixels.steps", [](auto& page) { page.pixels.steps[0].count -= 0.5; }},
      {"pixels.quantisation_sigma", [](auto& page) { page.pixels.quantisation_sigma = 1e5; }},
      {"pixels.quantisation_sigma", [](auto& page) { page.pixels.quantisation_sigma = -1; }},
      {"overview", [](auto& page) { page.overview.width = 100; }},
      {"overview", [](auto& page) { page.overview.height = 301; }},
      {"overview", [](auto& page) { page.overview.px_per_cell = 2; }},
      {"overview", [](auto& page) { page.overview = {}; }},
      {"notes", [](auto& page) { page.notes.emplace_back("read it with --no-sandbox"); }},
      {"tag_conflict", [](auto& page) { page.tag_conflict = "call this number"; }},
      {"grey", [](auto& page) { page.grey = true; }},
  };
  for (const Lie& lie : lies) {
    auto page = honest_page(honest_request());
    lie.tell(page);
    EXPECT_EQ(impossible_field(page, honest_request()), lie.field);
  }
}

TEST(CheckReply, KnowsHowThePageMustLie) {
  auto request = honest_request();
  request.read.lead_edge = ImageSide::top;
  auto page = honest_page(request);
  EXPECT_EQ(impossible_field(page, request), "");
  page.transposed = true;
  EXPECT_EQ(impossible_field(page, request), "transposed");
}

TEST(CheckReply, TakesWhatScansSay) {
  auto page = honest_page(honest_request());
  page.notes = {scan::kTakenAsSrgb,
                "the picture has 12 colours only, as a palette or a black-and-white setting leaves them"};
  page.tag_conflict = "its tags say 300 dpi one way and 600 dpi the other";
  page.tag_dpi_along = 300.2;
  page.pixels.bits = 16;
  page.pixels.quantisation_sigma = 4;
  page.overview.flip_u = page.overview.flip_v = true;
  EXPECT_EQ(impossible_field(page, honest_request()), "");
}

Request flat_request() {
  Request request;
  request.task = Task::flatten_page;
  request.flatten.sheet_mm = {16, 25};
  request.flatten.border_mm = 0.5;
  request.map.sigma_mm = 0.05;
  return request;
}

PageRaster flat_page() {
  auto page = honest_page(honest_request());
  page.pixels = {};
  page.flattening_sigma_mm = 0.05;
  return page;
}

TEST(CheckReply, HoldsAFlatPageAgainstItsSheet) {
  EXPECT_EQ(impossible_field(flat_page(), flat_request()), "");
  const std::vector<Lie> lies{
      {"tag_dpi_across, tag_dpi_along", [](auto& page) { page.tag_dpi_across = 0; }},
      {"tag_dpi_across, tag_dpi_along", [](auto& page) { page.tag_dpi_along = page.tag_dpi_across = 1300; }},
      {"tag_dpi_across, tag_dpi_along", [](auto& page) { page.tag_dpi_along = 301; }},
      {"width_px, height_px", [](auto& page) { page.width_px = 220; }},
      {"width_px, height_px", make_twice_as_high},
      {"rows_per_block", [](auto& page) { page.rows_per_block = 2; }},
      {"flattening_sigma_mm", [](auto& page) { page.flattening_sigma_mm = 0; }},
      {"pixels", [](auto& page) { page.pixels.codes[0][0] = 1; }},
      {"overview", [](auto& page) { page.overview.flip_u = true; }},
      {"overview", [](auto& page) { page.overview.width = 1; }},
      {"notes", [](auto& page) { page.notes.emplace_back("all is well"); }},
  };
  for (const Lie& lie : lies) {
    auto page = flat_page();
    lie.tell(page);
    EXPECT_EQ(impossible_field(page, flat_request()), lie.field);
  }
}

TEST(CheckReply, TakesPagesInTheirOrderOnce) {
  scan::ReadLimits limits;
  limits.pages = 3;
  EXPECT_TRUE(are_possible({0, 2, 5}, limits));
  for (const Scans& scans : {Scans{}, Scans{0, 1, 2, 3}, Scans{0, 0}, Scans{2, 1}, Scans{-1, 0}})
    EXPECT_FALSE(are_possible(scans, limits));
}

}  // namespace
}  // namespace scrapetrace::sandbox
