#include "cli/picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <filesystem>

#include "base/wording.h"
#include "cli/output.h"
#include "scan/rasterise_svg.h"

namespace scrapetrace::cli {

namespace {

constexpr double kPixelsPerUnit = 1.5;  // keeps the smallest lettering legible on paper

std::string suffix_of(const std::string& path) {
  std::string suffix = std::filesystem::path(path).extension().string();
  std::transform(suffix.begin(), suffix.end(), suffix.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return suffix;
}

}  // namespace

Problems write_pixels(const scan::Pixels& pixels, const std::string& path, scan::ImageOptions options) {
  options.existing = output_policy();
  if (path != "-" && !is_stream(path)) {
    const auto written = scan::write_image(pixels, path, options);
    return written ? Problems{} : written.problems();
  }
  const std::string suffix = suffix_of(path);
  const auto bytes = scan::encode_image(pixels, suffix.empty() ? ".tif" : suffix, options);
  if (!bytes) return bytes.problems();
  return path == "-" ? printed(*bytes) : write_file(path, *bytes);
}

Problems check_picture(const std::string& path) {
  if (path == "-") return {};
  const std::string suffix = suffix_of(path);
  if (suffix.empty() && is_stream(path)) return check_writable(path);
  if (suffix != ".svg" && suffix != ".png") {
    return {
        {path, 0, 0, fmt::format("a picture's name must end in .svg or .png, not in {}", in_quotes(suffix))}};
  }
  return check_writable(path);
}

Problems write_picture(const std::string& path, const std::string& svg) {
  if (suffix_of(path) != ".png") return write_file(path, svg);
  const auto image = scan::rasterise_svg(svg, kPixelsPerUnit);
  if (!image) return image.problems();
  scan::ImageOptions options;
  options.resolution_tags = false;
  return write_pixels({image->width_px, image->height_px, 4, 8, image->rgba}, path, options);
}

}  // namespace scrapetrace::cli
