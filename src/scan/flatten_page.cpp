#include "scan/flatten_page.h"

#include <memory>

#include "scan/by_libvips.h"
#include "scan/flatten_picture.h"
#include "scan/open_page.h"
#include "scan/page_name.h"
#include "scan/to_srgb_or_grey.h"

namespace scrapetrace::scan {

namespace {

Result<PageRaster> flatten(const ScanFile& file, int index, const PhotoMap& map,
                           const FlattenOptions& options) {
  const auto problem = [&](std::string what) { return Problem{file.name(), 0, 0, std::move(what)}; };
  auto found = open_page(file, index, options.limits);
  if (!found) return found.problems();
  OpenedPage opened = std::move(found).value();
  if (!to_srgb_or_grey(opened.image, opened.notes))
    return problem("its colours cannot be converted to sRGB (" + take_first_vips_error() + ")");
  VipsImage* image = opened.image.get();
  StoredSize size{vips_image_get_width(image), vips_image_get_height(image), vips_image_get_bands(image),
                  image->BandFmt == VIPS_FORMAT_USHORT ? 2 : 1};
  if (auto what = too_large_to_flatten(size); !what.empty()) return problem(std::move(what));
  std::size_t bytes = 0;
  const std::unique_ptr<void, void (*)(gpointer)> pixels(vips_image_write_to_memory(image, &bytes), g_free);
  if (!pixels) return problem("is damaged or cut short (" + take_first_vips_error() + "); copy it again");
  auto page = flatten_picture({size, static_cast<const std::uint8_t*>(pixels.get())}, map, options);
  if (!page) return problem(kShowsTooLittle);
  page->notes = std::move(opened.notes);
  return *std::move(page);
}

}  // namespace

Result<PageRaster> flatten_page(const std::string& name, const PhotoMap& map, const FlattenOptions& options) {
  const PageName asked = page_named(name);
  const auto file = ScanFile::open(asked.file, options.limits);
  return file ? flatten_page(*file, asked.index, map, options) : Result<PageRaster>(file.problems());
}

Result<PageRaster> flatten_page(const ScanFile& file, int index, const PhotoMap& map,
                                const FlattenOptions& options) {
  return by_libvips(file, [&] { return flatten(file, index, map, options); });
}

}  // namespace scrapetrace::scan
