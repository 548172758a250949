#pragma once
// fstat() under the seccomp filter.

namespace scrapetrace::sandbox {

// glibc implements fstat() as newfstatat with an empty path. A seccomp filter sees only the pointer, so
// allowing the call would allow every path. This installs a SIGSYS handler that answers the trapped call by
// fstat. False on processors whose registers it does not know: the call must then be allowed.
bool install_fstat_trap();

}  // namespace scrapetrace::sandbox
