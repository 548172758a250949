#include "scan/jpeg_pixels.h"

#include <memory>

#include "scan/luma_filter.h"
#include "scan/vips_image.h"
#include "scan/vips_session.h"

namespace scrapetrace::scan {

namespace {

struct Release {
  void operator()(void* memory) const { g_free(memory); }
};

Problem failed() {
  return {"", 0, 0, "the pixels cannot be taken through JPEG: " + take_vips_error()};
}

}  // namespace

Result<Decoded> through_jpeg(const Pixels& pixels, int quality, bool transposed) {
  start_vips();
  const Image image(vips_image_new_from_memory(pixels.data.data(), pixels.data.size(), pixels.width_px,
                                               pixels.height_px, pixels.bands, VIPS_FORMAT_UCHAR));
  void* buffer = nullptr;
  std::size_t size = 0;
  if (!image || vips_jpegsave_buffer(image.get(), &buffer, &size, "Q", quality, nullptr) != 0)
    return failed();
  const std::unique_ptr<void, Release> encoded(buffer);
  const auto header = read_jpeg_header_of({static_cast<const char*>(buffer), size});
  VipsImage* loaded = nullptr;
  if (!header || vips_jpegload_buffer(buffer, size, &loaded, nullptr) != 0) return failed();
  const Image decoded(loaded);
  std::size_t bytes = 0;
  const std::unique_ptr<void, Release> memory(vips_image_write_to_memory(decoded.get(), &bytes));
  if (!memory || bytes != pixels.data.size()) return failed();
  const auto* first = static_cast<const std::uint8_t*>(memory.get());
  Decoded out{{}, header->quantisation_sigma};
  out.data.reserve(bytes);
  const auto take = [&](const Rows& rows) {
    out.data.insert(out.data.end(), rows.first, rows.first + rows.count * rows.stride);
  };
  const Rows all{first, static_cast<std::ptrdiff_t>(bytes) / pixels.height_px, pixels.height_px};
  const auto axis = pixels.bands == 3 ? luma_filter_axis(*header, transposed) : std::nullopt;
  if (!axis) {
    take(all);
    return out;
  }
  LumaFilter even(pixels.width_px, *axis, take);
  even.add(all);
  even.finish();
  return out;
}

}  // namespace scrapetrace::scan
