#include "testpage/paint.h"

#include <cairo-pdf.h>
#include <cairo.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <type_traits>

namespace scrapetrace::testpage {

namespace {

constexpr double kPointsPerMm = 72 / 25.4;
constexpr int kBandRows = 256;  // so that an A3 page at 600 dpi is never in memory twice
constexpr const char* kFont = "DejaVu Sans";
// PDF requires a creation date; a fixed one keeps the output reproducible.
constexpr const char* kDate = "2000-01-01T00:00:00Z";

struct Destroy {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* context) const { cairo_destroy(context); }
  void operator()(cairo_font_options_t* options) const { cairo_font_options_destroy(options); }
};
using Surface = std::unique_ptr<cairo_surface_t, Destroy>;
using Context = std::unique_ptr<cairo_t, Destroy>;
using FontOptions = std::unique_ptr<cairo_font_options_t, Destroy>;

Problem problem(cairo_status_t status) {
  return {"", 0, 0,
          fmt::format("the page cannot be drawn ({}); check that the DejaVu fonts are installed",
                      cairo_status_to_string(status))};
}

void set_colour(cairo_t* to, const Rgb& srgb) {
  cairo_set_source_rgb(to, srgb[0], srgb[1], srgb[2]);
}

void paint(cairo_t* to, const Shape& shape) {
  for (const auto& outline : shape.outlines) {
    for (std::size_t i = 0; i < outline.size(); ++i) {
      if (i == 0) {
        cairo_move_to(to, outline[i][0], outline[i][1]);
      } else {
        cairo_line_to(to, outline[i][0], outline[i][1]);
      }
    }
    cairo_close_path(to);
  }
  set_colour(to, shape.srgb);
  cairo_fill(to);
}

void paint(cairo_t* to, const Stroke& stroke) {
  const std::array<double, 2> dashes = {1.5, 1.0};
  cairo_set_dash(to, dashes.data(), stroke.dashed ? 2 : 0, 0);
  cairo_set_line_width(to, stroke.width_mm);
  cairo_move_to(to, stroke.from[0], stroke.from[1]);
  cairo_line_to(to, stroke.to[0], stroke.to[1]);
  set_colour(to, stroke.srgb);
  cairo_stroke(to);
}

void paint(cairo_t* to, const Words& words) {
  cairo_select_font_face(to, kFont, CAIRO_FONT_SLANT_NORMAL,
                         words.bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
  cairo_set_font_size(to, words.size_mm);
  cairo_text_extents_t extents;
  cairo_text_extents(to, words.utf8.c_str(), &extents);
  double width = extents.x_advance;
  if (words.most_mm > 0 && width > words.most_mm) {
    cairo_set_font_size(to, words.size_mm * words.most_mm / width);
    width = words.most_mm;
  }
  const double back = words.anchor == Anchor::left ? 0 : words.anchor == Anchor::middle ? width / 2 : width;
  set_colour(to, words.srgb);
  cairo_move_to(to, words.at[0] - back, words.at[1]);
  cairo_show_text(to, words.utf8.c_str());
}

// Unhinted letter widths, independent of resolution.
void paint(cairo_t* to, const Drawing& page) {
  const FontOptions options(cairo_font_options_create());
  cairo_font_options_set_hint_style(options.get(), CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options.get(), CAIRO_HINT_METRICS_OFF);
  cairo_font_options_set_antialias(options.get(), CAIRO_ANTIALIAS_GRAY);
  cairo_set_font_options(to, options.get());
  for (const Item& item : page.items) {
    std::visit([&](const auto& one) { paint(to, one); }, item);
  }
}

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

Result<std::string> paint_pdf(const std::vector<Drawing>& pages, const std::string& title) {
  std::string bytes;
  const Surface surface(cairo_pdf_surface_create_for_stream(append, &bytes, 1, 1));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, title.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATE_DATE, kDate);
  for (const Drawing& page : pages) {
    cairo_pdf_surface_set_size(surface.get(), page.width_mm * kPointsPerMm, page.height_mm * kPointsPerMm);
    const Context context(cairo_create(surface.get()));
    cairo_scale(context.get(), kPointsPerMm, kPointsPerMm);
    paint(context.get(), page);
    cairo_show_page(context.get());
    if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) return problem(cairo_status(context.get()));
  }
  cairo_surface_finish(surface.get());
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS)
    return problem(cairo_surface_status(surface.get()));
  return bytes;
}

Result<RgbImage> paint_pixels(const Drawing& page, double dpi) {
  if (!(dpi >= 50 && dpi <= 600)) {
    return Problem{"", 0, 0,
                   fmt::format("the resolution is {} dpi; allowed is 50 to 600: solid areas gain nothing "
                               "beyond",
                               dpi)};
  }
  const double px_per_mm = dpi / 25.4;
  RgbImage image;
  image.width_px = static_cast<int>(std::lround(page.width_mm * px_per_mm));
  image.height_px = static_cast<int>(std::lround(page.height_mm * px_per_mm));
  image.rgb.reserve(static_cast<std::size_t>(image.width_px) * static_cast<std::size_t>(image.height_px) * 3);
  for (int top = 0; top < image.height_px; top += kBandRows) {
    const int rows = std::min(kBandRows, image.height_px - top);
    const Surface band(cairo_image_surface_create(CAIRO_FORMAT_RGB24, image.width_px, rows));
    const Context context(cairo_create(band.get()));
    set_colour(context.get(), {1, 1, 1});
    cairo_paint(context.get());
    cairo_translate(context.get(), 0, -top);
    cairo_scale(context.get(), px_per_mm, px_per_mm);
    paint(context.get(), page);
    if (cairo_status(context.get()) != CAIRO_STATUS_SUCCESS) return problem(cairo_status(context.get()));
    cairo_surface_flush(band.get());
    const unsigned char* data = cairo_image_surface_get_data(band.get());
    const int stride = cairo_image_surface_get_stride(band.get());
    for (int y = 0; y < rows; ++y) {
      const unsigned char* row = data + static_cast<std::ptrdiff_t>(y) * stride;
      for (int x = 0; x < image.width_px; ++x) {  // native 32-bit word: blue first on little-endian machines
        std::uint32_t word = 0;
        std::copy_n(row + 4 * static_cast<std::ptrdiff_t>(x), 4, reinterpret_cast<unsigned char*>(&word));
        for (const int shift : {16, 8, 0}) image.rgb.push_back(static_cast<std::uint8_t>(word >> shift));
      }
    }
  }
  return image;
}

}  // namespace scrapetrace::testpage
