#include <sys/mman.h>
#include <unistd.h>

#include "fuzz/target.h"
#include "sandbox/check_reply.h"
#include "sandbox/honest_page.h"
#include "sandbox/known_messages.h"
#include "sandbox/reply.h"

namespace scrapetrace {
namespace {

// A page that is believed is one that was asked for.
void hold(const PageRaster& page, const sandbox::Request& request) {
  using fuzz::expect;
  if (!sandbox::impossible_field(page, request).empty()) return;
  const auto& overview = page.overview;
  expect(page.tag_dpi_across == 0 || (page.tag_dpi_across >= 60 && page.tag_dpi_across <= 4900));
  expect((page.tag_dpi_along > 0) == (page.tag_dpi_across > 0));
  expect(static_cast<double>(page.width_px) * page.height_px <= 1.001e6 * request.limits.megapixels);
  expect(overview.width <= page.width_px && overview.height <= page.height_px);
  expect(page.pixels.quantisation_sigma >= 0 && page.pixels.quantisation_sigma < 20000);
  for (const auto& note : page.notes) expect(sandbox::is_known_note(note));
}

}  // namespace
}  // namespace scrapetrace

void scrapetrace::fuzz::take(std::string_view bytes) {
  static const int file = memfd_create("reply", MFD_CLOEXEC);
  expect(ftruncate(file, 0) == 0 &&
         pwrite(file, bytes.data(), bytes.size(), 0) == static_cast<ssize_t>(bytes.size()) &&
         lseek(file, 0, SEEK_SET) == 0);
  const auto reply = sandbox::read_reply(file);
  if (!reply) return;
  if (const auto* problems = std::get_if<Problems>(&*reply)) {
    for (const auto& problem : *problems) expect(!sandbox::shown_problem(problem.what, "scan.tif").empty());
  }
  if (!std::holds_alternative<PageRaster>(*reply)) return;
  const auto& page = std::get<PageRaster>(*reply);
  expect(page.linear.size() ==
         static_cast<std::size_t>(page.blocks()) * 3 * static_cast<std::size_t>(page.width_px));
  hold(page, sandbox::honest_request());
  auto flat = sandbox::honest_request();
  flat.task = sandbox::Task::flatten_page;
  flat.flatten.sheet_mm = {20, 30};
  hold(page, flat);
}
