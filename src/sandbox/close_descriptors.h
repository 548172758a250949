#pragma once

namespace scrapetrace::sandbox {

// Closes every descriptor from `first` on, by close_range(2), on older kernels by /proc/self/fd. False when
// some may still be open.
bool close_descriptors_from(int first);

}  // namespace scrapetrace::sandbox
