#pragma once
// Work shared out over threads in contiguous bands of rows.

#include <functional>

namespace scrapetrace::press {

// Calls work(from, to) on bands that together cover [0, rows), one thread each; 0 threads: as many as the
// machine has. What a band throws is thrown here once all bands have ended.
void for_each_band(int rows, int threads, const std::function<void(int from, int to)>& work);

}  // namespace scrapetrace::press
