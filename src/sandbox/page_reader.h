#pragma once
// Scans into pages by processes of their own: a decoder that crashes, hangs or is taken over costs the scan
// that did it, and nothing else.

#include <memory>
#include <string>
#include <vector>

#include "sandbox/request.h"
#include "scrapetrace/page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::sandbox {

// The same answers as the functions of src/scan of the same names; names are as there ("scan.tif[2]").
class PageReader {
 public:
  // Without processes: decodes in this one. For who trusts the scans.
  static Result<PageReader> in_this_process(const scan::ReadLimits& limits);
  // Makes the process that makes the workers; `work` is what those do. Call it while this process has one
  // thread. The scan's file is opened here; workers get it opened, and open nothing.
  static Result<PageReader> start(const scan::ReadLimits& limits, Work work = nullptr);
  PageReader(PageReader&&) noexcept;
  PageReader& operator=(PageReader&&) noexcept;
  ~PageReader();

  // From any number of threads at once; of the options' limits only what is left of a case counts. Besides
  // src/scan's problems: crashed, stopped by the filter, out of time or memory, no filter to be had; each
  // names the file.
  [[nodiscard]] Result<std::vector<std::string>> pages_of(const std::string& name) const;
  [[nodiscard]] Result<PageRaster> read_page(const std::string& name, scan::ReadOptions options) const;
  [[nodiscard]] Result<PageRaster> flatten_page(const std::string& name, const PhotoMap& map,
                                                scan::FlattenOptions options) const;

 private:
  struct Parts;
  explicit PageReader(std::unique_ptr<Parts> parts);
  std::unique_ptr<Parts> parts_;
};

}  // namespace scrapetrace::sandbox
