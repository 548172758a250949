#include "scan/rasterise_svg.h"

#include <memory>
#include <string>

#include "scan/libvips.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

Problem failed(const std::string& reason) {
  return {"", 0, 0, "the drawing cannot be turned into pixels (" + reason + "); save it as SVG instead"};
}

}  // namespace

Result<RgbaImage> rasterise_svg(std::string_view svg, double scale) {
  start_vips();
  if (!(scale > 0 && scale <= 100)) {
    return Problem{"", 0, 0,
                   "the drawing's scale is " + std::to_string(scale) + "; allowed is above 0 and up to 100"};
  }
  VipsImage* loaded = nullptr;
  // "unlimited": an embedded page picture exceeds the XML parser's limit for one text node.
  const int status = vips_svgload_buffer(const_cast<char*>(svg.data()), svg.size(), &loaded, "scale", scale,
                                         "unlimited", TRUE, nullptr);
  if (status != 0) return failed(take_vips_error());
  const std::unique_ptr<VipsImage, void (*)(VipsImage*)> drawing(loaded,
                                                                 [](VipsImage* i) { g_object_unref(i); });
  if (vips_image_get_bands(loaded) != 4 || vips_image_get_format(loaded) != VIPS_FORMAT_UCHAR) {
    return failed("it did not give RGBA of 8 bits");
  }
  std::size_t size = 0;
  const std::unique_ptr<void, void (*)(void*)> memory(vips_image_write_to_memory(loaded, &size),
                                                      [](void* m) { g_free(m); });
  if (!memory) return failed(take_vips_error());
  const auto* bytes = static_cast<const std::uint8_t*>(memory.get());
  return RgbaImage{vips_image_get_width(loaded), vips_image_get_height(loaded), {bytes, bytes + size}};
}

}  // namespace scrapetrace::scan
