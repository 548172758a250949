#include "scan/page_sums.h"

#include <numeric>

namespace scrapetrace::scan {

namespace {

std::optional<OverviewRows> overview_of(PageRaster& page, const StoredSize& size,
                                        const SumsOptions& options) {
  if (!options.overview) return std::nullopt;
  return OverviewRows(page.overview, size.width_px, size.height_px, size.bands, size.bytes, options.order);
}

}  // namespace

PageSums::PageSums(PageRaster& page, const StoredSize& size, const SumsOptions& options,
                   const LightSinkFactory& make_sink)
    : PageSums(size, options, BlockSums(page, size.bands, size.bytes, options.order, make_sink),
               overview_of(page, size, options)) {}

PageSums::PageSums(const StoredSize& size, const SumsOptions& options, const BlockSums& sums,
                   const std::optional<OverviewRows>& overview)
    : size_(size),
      options_(options),
      sums_(sums),
      sampler_(pixels_, size.width_px, size.bands, size.bytes),
      colours_(size.width_px, size.bands, size.bytes),
      overview_(overview) {
  if (options.luma_axis)
    luma_filter_.emplace(size.width_px, *options.luma_axis, [this](const Rows& rows) { add_filtered(rows); });
}

void PageSums::add(const Rows& rows) {
  luma_filter_ ? luma_filter_->add(rows) : add_filtered(rows);
}

void PageSums::add_filtered(const Rows& rows) {
  sums_.add(rows);
  sampler_.add(rows);
  colours_.add(rows);
  if (overview_) overview_->add(rows);
}

void PageSums::finish() {
  if (luma_filter_) luma_filter_->finish();
  sums_.finish();
}

// Filtering along columns needs rows of the next stretch.
int PageSums::step_px() const {
  if (options_.luma_axis == LumaFilter::Axis::along_columns) return 0;
  return overview_ ? std::lcm(sums_.step_px(), overview_->step_px()) : sums_.step_px();
}

std::unique_ptr<PageSums> PageSums::another() {
  sums_.prepare_for_stretches();
  return std::unique_ptr<PageSums>(new PageSums(size_, options_, sums_, overview_));
}

void PageSums::move_to(int row) {
  sums_.move_to(row);
  sampler_.move_to(row);
  colours_.move_to(row);
  if (overview_) overview_->move_to(row);
}

void PageSums::join(const PageSums& other) {
  scan::join(pixels_, other.pixels_);
  colours_.join(other.colours_);
}

}  // namespace scrapetrace::scan
