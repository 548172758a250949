#pragma once
// Asking for a file's size where no path may be named.

namespace scrapetrace::sandbox {

// glibc's fstat() names the open file by newfstatat and an empty path. A filter sees the pointer, not the
// path, so that to allow it is to let every path be asked for. From here on the filter's trap for that call
// ends in an answer by fstat, which takes no path. False where this processor's registers are not known: the
// call must then be allowed.
bool answer_by_fstat();

}  // namespace scrapetrace::sandbox
