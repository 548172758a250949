#pragma once
// Reads scans in separate processes: a decoder that crashes, hangs or is taken over costs that scan only.

#include <memory>
#include <string>
#include <vector>

#include "sandbox/request.h"
#include "scrapetrace/page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::sandbox {

// The same results as the functions of src/scan with the same names; page names as there ("scan.tif[2]").
class PageReader {
 public:
  // Decodes in this process; for trusted scans.
  static Result<PageReader> in_this_process(const scan::ReadLimits& limits);
  // Forks the fork server; `work` is what its workers do. Call it while this process has one thread. Files
  // are opened here; workers receive them open.
  static Result<PageReader> start(const scan::ReadLimits& limits, Work work = nullptr);
  PageReader(PageReader&&) noexcept;
  PageReader& operator=(PageReader&&) noexcept;
  ~PageReader();

  // Thread-safe. Of the options' limits only the case's share counts. Problems beyond those of src/scan, each
  // naming the file: crashed, killed by the filter, out of time or memory, no filter available.
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
