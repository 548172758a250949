#include "workflow/pictures.h"

#include "scan/encode_png.h"

namespace scrapetrace::workflow {

std::vector<std::optional<report::EncodedThumbnail>> encode(
    const std::vector<std::optional<Thumbnail>>& pages) {
  std::vector<std::optional<report::EncodedThumbnail>> out;
  for (const auto& page : pages) {
    out.emplace_back();
    if (!page) continue;
    const auto png = scan::encode_png({page->width_px, page->height_px, 3, 8, page->rgb});
    if (!png) continue;
    out.back() = report::EncodedThumbnail{*png, page->left_mm, page->top_mm, page->width_mm, page->height_mm};
  }
  return out;
}

}  // namespace scrapetrace::workflow
