#include "scan/overview_rows.h"

#include "base/srgb.h"
#include "scan/raster_plan.h"

namespace scrapetrace::scan {

OverviewRows::OverviewRows(Overview& overview, int width_px, int height_px, int bands, int bytes_per_sample,
                           ReadingOrder order)
    : overview_(overview),
      bands_(static_cast<std::size_t>(bands)),
      bytes_per_sample_(bytes_per_sample),
      light_(bytes_per_sample) {
  overview.px_per_cell = scan::px_per_cell(width_px, height_px);
  overview.width = width_px / overview.px_per_cell;
  overview.height = height_px / overview.px_per_cell;
  overview.transposed = order.transposed;
  overview.flip_u = order.flip_u;
  overview.flip_v = order.flip_v;
  overview.grey.resize(static_cast<std::size_t>(overview.width) * static_cast<std::size_t>(overview.height));
  sums_.assign(static_cast<std::size_t>(overview.width), 0);
  code_of_.resize(4096);
  for (std::size_t i = 0; i < code_of_.size(); ++i)
    code_of_[i] = srgb8_from_linear((static_cast<double>(i) + 0.5) / 4096);
}

template <class Sample>
void OverviewRows::accumulate(const Sample* samples) {
  const Sample* p = samples + (bands_ == 3 ? 1 : 0);
  for (std::uint32_t& sum : sums_) {
    for (int k = 0; k < overview_.px_per_cell; ++k, p += bands_) sum += light_.of(*p);
  }
}

void OverviewRows::add(const Rows& rows) {
  for (int r = 0; r < rows.count; ++r) {
    if (rows_seen_ >= overview_.height * overview_.px_per_cell) return;
    if (bytes_per_sample_ == 1) {
      accumulate(rows.row<std::uint8_t>(r));
    } else {
      accumulate(rows.row<std::uint16_t>(r));
    }
    if (++rows_seen_ % overview_.px_per_cell == 0) flush();
  }
}

void OverviewRows::flush() {
  const auto pixels = static_cast<std::uint32_t>(overview_.px_per_cell * overview_.px_per_cell);
  const std::size_t cells = static_cast<std::size_t>(rows_seen_ / overview_.px_per_cell - 1) * sums_.size();
  for (std::size_t x = 0; x < sums_.size(); ++x) {
    overview_.grey[cells + x] = code_of_[(sums_[x] / pixels) >> 4U];
    sums_[x] = 0;
  }
}

}  // namespace scrapetrace::scan
