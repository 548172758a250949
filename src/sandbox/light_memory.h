#pragma once
// Memory for a page's linear light.

#include <cstddef>
#include <cstdint>
#include <memory>

namespace scrapetrace::sandbox {

// Null when there is none. Not initialised.
std::shared_ptr<std::uint16_t> allocate_light(std::size_t samples);

}  // namespace scrapetrace::sandbox
