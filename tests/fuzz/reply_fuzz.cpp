#include "fuzz/target.h"
#include "sandbox/reply.h"

void scrapetrace::fuzz::take(std::string_view bytes) {
  const auto reply = sandbox::read_reply({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
  if (!reply || !std::holds_alternative<PageRaster>(*reply)) return;
  const auto& page = std::get<PageRaster>(*reply);
  expect(page.linear.size() ==
         static_cast<std::size_t>(page.blocks()) * 3 * static_cast<std::size_t>(page.width_px));
}
