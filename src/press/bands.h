#pragma once
// Parallel work on contiguous bands of rows.

#include <functional>

namespace scrapetrace::press {

// Calls work(from, to) on bands that cover [0, rows), one thread each; 0 threads: one per hardware thread.
// Rethrows an exception of a band once all have ended.
void for_each_band(int rows, int threads, const std::function<void(int from, int to)>& work);

}  // namespace scrapetrace::press
