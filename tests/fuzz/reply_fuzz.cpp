#include <sys/mman.h>
#include <unistd.h>

#include "fuzz/target.h"
#include "sandbox/reply.h"

void scrapetrace::fuzz::take(std::string_view bytes) {
  static const int file = memfd_create("reply", MFD_CLOEXEC);
  expect(ftruncate(file, 0) == 0 &&
         pwrite(file, bytes.data(), bytes.size(), 0) == static_cast<ssize_t>(bytes.size()) &&
         lseek(file, 0, SEEK_SET) == 0);
  const auto reply = sandbox::read_reply(file);
  if (!reply || !std::holds_alternative<PageRaster>(*reply)) return;
  const auto& page = std::get<PageRaster>(*reply);
  expect(page.linear.size() ==
         static_cast<std::size_t>(page.blocks()) * 3 * static_cast<std::size_t>(page.width_px));
}
