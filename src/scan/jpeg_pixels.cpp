#include "scan/jpeg_pixels.h"

#include <vips/vips.h>

#include <memory>

#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

struct Release {
  void operator()(VipsImage* image) const {
    if (image != nullptr) g_object_unref(image);
  }
  void operator()(void* memory) const { g_free(memory); }
};

Problem failed() {
  return {"", 0, 0, "the pixels cannot be taken through JPEG: " + take_vips_error()};
}

}  // namespace

Result<std::vector<std::uint8_t>> through_jpeg(const Pixels& pixels, int quality) {
  start_vips();
  const std::unique_ptr<VipsImage, Release> image(
      vips_image_new_from_memory(pixels.data.data(), pixels.data.size(), pixels.width_px, pixels.height_px,
                                 pixels.bands, VIPS_FORMAT_UCHAR));
  void* buffer = nullptr;
  std::size_t size = 0;
  if (!image || vips_jpegsave_buffer(image.get(), &buffer, &size, "Q", quality, nullptr) != 0)
    return failed();
  const std::unique_ptr<void, Release> encoded(buffer);
  VipsImage* loaded = nullptr;
  if (vips_jpegload_buffer(buffer, size, &loaded, nullptr) != 0) return failed();
  const std::unique_ptr<VipsImage, Release> decoded(loaded);
  std::size_t bytes = 0;
  const std::unique_ptr<void, Release> memory(vips_image_write_to_memory(loaded, &bytes));
  if (!memory || bytes != pixels.data.size()) return failed();
  const auto* first = static_cast<const std::uint8_t*>(memory.get());
  return std::vector<std::uint8_t>(first, first + bytes);
}

}  // namespace scrapetrace::scan
