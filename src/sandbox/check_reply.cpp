#include "sandbox/check_reply.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <numeric>
#include <utility>

#include "sandbox/known_messages.h"
#include "scan/pixel_statistics.h"
#include "scan/raster_plan.h"

namespace scrapetrace::sandbox {

namespace {

constexpr double kRounding = 1.001;       // of the size of a rendered page
constexpr double kCoarsestTable = 65535;  // step of a JPEG's quantisation (ITU-T T.81, B.2.4.1)

using Check = bool (*)(const PageRaster&, const Request&);
struct Field {
  const char* name;
  Check is_possible;
};

struct Size {
  int width = 0;
  int height = 0;
  [[nodiscard]] double pixels() const { return static_cast<double>(width) * height; }
};

// The image's size as stored, and as displayed.
Size stored(const PageRaster& page) {
  return page.overview.transposed ? Size{page.height_px, page.width_px} : Size{page.width_px, page.height_px};
}
Size upright(const PageRaster& page) {
  return page.transposed ? Size{page.height_px, page.width_px} : Size{page.width_px, page.height_px};
}

bool is_resolution(double dpi) {
  const double believed = scan::believable_dpi(dpi / 25.4);
  return dpi == 0 || std::abs(believed - dpi) < 1e-9 * dpi;
}

// Whether all channels are equal.
bool is_grey(const PageRaster& page) {
  const auto width = static_cast<std::size_t>(page.width_px) * sizeof(std::uint16_t);
  for (int b = 0; b < page.blocks(); ++b) {
    for (const int channel : {1, 2}) {
      if (std::memcmp(page.row(b, 0), page.row(b, channel), width) != 0) return false;
    }
  }
  return true;
}

bool words_are_known(const PageRaster& page) {
  return std::all_of(page.notes.begin(), page.notes.end(),
                     [](const std::string& note) { return is_known_note(note); });
}

// Every sample of the sampled rows is counted once.
bool codes_add_up(const PageRaster& page) {
  const Size size = stored(page);
  const auto expected =
      static_cast<std::uint64_t>(size.width) * static_cast<std::uint64_t>(scan::sampled_rows(size.height));
  return std::all_of(page.pixels.codes.begin(), page.pixels.codes.end(), [&](const auto& channel) {
    return std::accumulate(channel.begin(), channel.end(), std::uint64_t{0}) == expected;
  });
}

// Step counts fit the sampled rows, by column modulo eight; column 0 has no left neighbour.
bool steps_are_of_rows(const PageRaster& page) {
  const Size size = stored(page);
  const double rows = scan::sampled_rows(size.height);
  const auto& steps = page.pixels.steps;
  return std::all_of(steps.begin(), steps.end(), [&](const PixelStatistics::Steps& step) {
    const int columns = (size.width + 7) / 8;
    return step.count >= 0 && step.count <= columns * rows && step.sum >= 0 &&
           step.sum <= scan::kLargestStep * step.count && step.count == std::floor(step.count) &&
           step.sum == std::floor(step.sum);
  });
}

bool is_overview_of(const Overview& overview, const Size& size) {
  const int cell = scan::px_per_cell(size.width, size.height);
  return overview.px_per_cell == cell && overview.width == size.width / cell &&
         overview.height == size.height / cell;
}

bool is_without_overview(const Overview& overview) {
  return overview.width == 0 && overview.height == 0 && overview.px_per_cell == 1;
}

bool has_no_statistics(const PageRaster& page, const Request&) {
  const PixelStatistics none;
  const auto& got = page.pixels;
  return got.codes == none.codes && got.bits == none.bits && got.quantisation_sigma == 0 &&
         std::all_of(got.steps.begin(), got.steps.end(),
                     [](const auto& step) { return step.sum == 0 && step.count == 0; });
}

constexpr std::array<Field, 3> kOfAnyPage{{
    {"notes", [](const PageRaster& page, const Request&) { return words_are_known(page); }},
    {"tag_conflict",
     [](const PageRaster& page, const Request&) {
       return page.tag_conflict.empty() || is_known_conflict(page.tag_conflict);
     }},
    {"grey", [](const PageRaster& page, const Request&) { return !page.grey || is_grey(page); }},
}};

constexpr std::array<Field, 11> kOfRead{{
    {"width_px, height_px",
     [](const PageRaster& page, const Request& asked) {
       return std::max(page.width_px, page.height_px) <= scan::kLargestSide_px &&
              upright(page).pixels() <=
                  kRounding * 1e6 * std::min(asked.limits.megapixels, asked.limits.left.megapixels);
     }},
    {"tag_dpi_across",
     [](const PageRaster& page, const Request&) { return is_resolution(page.tag_dpi_across); }},
    {"tag_dpi_along",
     [](const PageRaster& page, const Request&) {
       return is_resolution(page.tag_dpi_along) && (page.tag_dpi_along > 0) == (page.tag_dpi_across > 0);
     }},
    {"transposed",
     [](const PageRaster& page, const Request& asked) {
       const double tag = page.transposed ? page.tag_dpi_along : page.tag_dpi_across;
       const Size size = upright(page);
       return page.transposed == scan::lies_across(size.width, size.height,
                                                   asked.read.dpi > 0 ? asked.read.dpi : tag, asked.read);
     }},
    {"rows_per_block",
     [](const PageRaster& page, const Request& asked) {
       return page.rows_per_block == scan::rows_per_block(page.height_px, page.tag_dpi_along, asked.read);
     }},
    {"flattening_sigma_mm",
     [](const PageRaster& page, const Request&) { return page.flattening_sigma_mm == 0; }},
    {"pixels.bits",
     [](const PageRaster& page, const Request&) { return page.pixels.bits == 8 || page.pixels.bits == 16; }},
    {"pixels.codes", [](const PageRaster& page, const Request&) { return codes_add_up(page); }},
    {"pixels.steps", [](const PageRaster& page, const Request&) { return steps_are_of_rows(page); }},
    {"pixels.quantisation_sigma",
     [](const PageRaster& page, const Request&) {
       return page.pixels.quantisation_sigma >= 0 &&
              page.pixels.quantisation_sigma <= kCoarsestTable / std::sqrt(12.0);
     }},
    {"overview",
     [](const PageRaster& page, const Request& asked) {
       return asked.read.overview ? is_overview_of(page.overview, stored(page))
                                  : is_without_overview(page.overview);
     }},
}};

// The sheet with its border at that resolution, plus one pixel for rounding.
bool fits_sheet(const PageRaster& page, const scan::FlattenOptions& asked) {
  const double px_per_mm = page.tag_dpi_across / 25.4;
  return page.width_px <= (asked.sheet_mm[0] + 2 * asked.border_mm) * px_per_mm + 1 &&
         page.height_px <= (asked.sheet_mm[1] + 2 * asked.border_mm) * px_per_mm + 1;
}

constexpr std::array<Field, 6> kOfFlat{{
    {"tag_dpi_across, tag_dpi_along",
     [](const PageRaster& page, const Request&) {
       return page.tag_dpi_across > 0 && page.tag_dpi_across <= scan::kMostFlat_dpi * (1 + 1e-9) &&
              page.tag_dpi_along == page.tag_dpi_across && !page.transposed;
     }},
    {"width_px, height_px",
     [](const PageRaster& page, const Request& asked) { return fits_sheet(page, asked.flatten); }},
    {"rows_per_block",
     [](const PageRaster& page, const Request& asked) {
       const double rows = asked.flatten.block_mm * page.tag_dpi_along / 25.4;
       return std::abs(page.rows_per_block - std::clamp(rows, 1.0, 64.0)) <= 0.5 + 1e-6;
     }},
    {"flattening_sigma_mm",
     [](const PageRaster& page, const Request& asked) {
       return page.flattening_sigma_mm == asked.map.sigma_mm;
     }},
    {"pixels", has_no_statistics},
    {"overview",
     [](const PageRaster& page, const Request&) {
       const auto& overview = page.overview;
       return is_overview_of(overview, {page.width_px, page.height_px}) && !overview.transposed &&
              !overview.flip_u && !overview.flip_v;
     }},
}};

template <std::size_t kCount>
std::string first_impossible(const std::array<Field, kCount>& fields, const PageRaster& page,
                             const Request& request) {
  for (const Field& field : fields) {
    if (!field.is_possible(page, request)) return field.name;
  }
  return {};
}

}  // namespace

std::string impossible_field(const PageRaster& page, const Request& request) {
  auto field = request.task == Task::flatten_page ? first_impossible(kOfFlat, page, request)
                                                  : first_impossible(kOfRead, page, request);
  return field.empty() ? first_impossible(kOfAnyPage, page, request) : field;
}

bool are_possible(const Scans& scans, const scan::ReadLimits& limits) {
  return !scans.empty() && scans.size() <= static_cast<std::size_t>(limits.pages) && scans.front() >= 0 &&
         std::is_sorted(scans.begin(), scans.end()) &&
         std::adjacent_find(scans.begin(), scans.end()) == scans.end();
}

}  // namespace scrapetrace::sandbox
