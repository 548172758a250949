#include "scan/encode_png.h"

#include <memory>

#include "scan/libvips.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

// Pages repeat down the sheet more than across it. With the "up" filter, level 3 compresses better than
// zlib's default 6 without filter, in a quarter of the time (1000 x 1414 px: 603 kB in 70 ms against 649 kB
// in 260 ms).
constexpr int kEffort = 3;

}  // namespace

Result<std::string> encode_png(const Pixels& pixels) {
  start_vips();
  const std::unique_ptr<VipsImage, void (*)(VipsImage*)> image(
      vips_image_new_from_memory(pixels.data.data(), pixels.data.size(), pixels.width_px, pixels.height_px,
                                 pixels.bands, VIPS_FORMAT_UCHAR),
      [](VipsImage* made) {
        if (made != nullptr) g_object_unref(made);
      });
  void* buffer = nullptr;
  std::size_t size = 0;
  if (!image || vips_pngsave_buffer(image.get(), &buffer, &size, "compression", kEffort, "filter",
                                    VIPS_FOREIGN_PNG_FILTER_UP, nullptr) != 0) {
    return Problem{"", 0, 0, "the small picture of the page cannot be made: " + take_vips_error()};
  }
  std::string png(static_cast<const char*>(buffer), size);
  g_free(buffer);
  return png;
}

}  // namespace scrapetrace::scan
