#pragma once
// What the process that decodes a scan may still ask of the system; alone knows libseccomp (Linux's seccomp
// with BPF filters, seccomp(2)).

#include <string>

namespace scrapetrace::sandbox {

// From here on, for all threads of this process and for good: memory, threads of its own, and reading and
// writing what is open already. Opening a file is refused, and so is making memory executable; sockets, other
// programs and other processes end the process on the spot (SIGSYS). The reason when it cannot be set, else
// empty.
std::string close_in();

}  // namespace scrapetrace::sandbox
