#pragma once
// Memory for a page's light.

#include <cstddef>
#include <cstdint>
#include <memory>

namespace scrapetrace::sandbox {

// Null when there is none. What lies in it at first is anybody's guess.
std::shared_ptr<std::uint16_t> memory_for_light(std::size_t samples);

}  // namespace scrapetrace::sandbox
