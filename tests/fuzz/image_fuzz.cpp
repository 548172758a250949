#include <sys/mman.h>
#include <unistd.h>

#include "fuzz/target.h"
#include "scan/page_name.h"
#include "scan/read_page.h"
#include "scan/scan_file.h"

// A page that is read is as large as it says.
void scrapetrace::fuzz::take(std::string_view bytes) {
  const int memory = memfd_create("fuzz", MFD_CLOEXEC);
  expect(write(memory, bytes.data(), bytes.size()) == static_cast<ssize_t>(bytes.size()));
  const scan::ScanFile file("fuzz", memory);
  scan::ReadOptions options;
  options.overview = true;
  options.limits.megapixels = 0.5;
  const auto scans = scan::scans_in(file, options.limits);
  if (!scans) return expect(!scans.problems().empty());
  for (const int index : *scans) {
    const auto page = scan::read_page(file, index, options);
    if (!page) continue;
    expect(page->linear.size() ==
           static_cast<std::size_t>(page->blocks()) * 3 * static_cast<std::size_t>(page->width_px));
    expect(page->overview.grey.size() ==
           static_cast<std::size_t>(page->overview.width) * static_cast<std::size_t>(page->overview.height));
  }
}
