#pragma once
// What the scan's resolution may be, before the print itself decides.

#include <string>
#include <vector>

#include "scrapetrace/locate.h"

namespace scrapetrace::locate_detail {

struct Resolution {
  double dpi_across = 0;
  double dpi_along = 0;
  std::string source;  // "tag", "option", "chart": as Registration::dpi_source
  bool exact = true;   // false: a guess, to be searched around
};

// Whether the user's word on the resolution counts: a photo made flat has the scale of its chart.
bool dpi_given(const PageRaster& raster, const LocateOptions& options);

// What the user says, else what the tags say; nothing when they say nothing or contradict each other.
std::vector<Resolution> stated_resolutions(const PageRaster& raster, const LocateOptions& options);

// What a chart's sheet of known size suggests: that it fills the image, or one of the resolutions scanners
// offer at which it would lie inside the image or reach a little beyond it.
std::vector<Resolution> resolutions_by_sheet(const PageRaster& raster, const Chart& chart);

// What the file's own tags say, whatever the user says.
std::vector<Resolution> tagged_resolutions(const PageRaster& raster);

// Whether a print's measured resolution is another than the stated one: paper stretches by less.
bool is_off(double measured_dpi, double stated_dpi);

// One sentence each, fit to follow the file's name: why --dpi cannot be the scan's, and what to do.
// `shown_by` is what measures the print: "its printed tags".
std::string dpi_contradicted(const LocateOptions& options, const PageRaster& raster, double across_dpi,
                             double along_dpi, const std::string& shown_by);
// Empty: the image's size at --dpi is one that a sheet of this chart, else of this machine, may have.
std::string dpi_against_size(const Layout& layout, const Chart* chart, const PageRaster& raster,
                             const LocateOptions& options);
// Empty: the print found without a chart is no wider than the machine's heads reach.
std::string dpi_against_heads(const Layout& layout, const Chart& found, const Resolution& used);

// Empty: the user's word and the file's own tags do not contradict each other.
std::string dpi_against_tags(const PageRaster& raster, const LocateOptions& options);

// One sentence: why the resolution is unknown, and what to do.
std::string resolution_unknown(const PageRaster& raster);

}  // namespace scrapetrace::locate_detail
