#pragma once
// What the process that decodes a scan may still ask of the system; alone knows libseccomp (Linux's seccomp
// with BPF filters, seccomp(2)).

namespace scrapetrace::sandbox {

// From here on, for all threads of this process and for good: memory, threads of its own, and reading and
// writing what is open already. Whatever names a file, another process or a setting that others share is
// refused, and so is making memory executable; sockets, other programs and other processes end the process on
// the spot (SIGSYS). No new privileges come to it either. The system's error number when it cannot be set.
int close_in();

}  // namespace scrapetrace::sandbox
