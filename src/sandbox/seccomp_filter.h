#pragma once
// The system calls that a decoding process may make. Only this file knows libseccomp (seccomp(2) with BPF).

namespace scrapetrace::sandbox {

// Confines all threads of this process irrevocably. Allowed: memory, threads, reading and writing open files.
// Refused: calls that name files, other processes or shared settings, and executable memory. Sockets, exec
// and fork kill the process (SIGSYS). Also sets no_new_privs. Returns 0 or errno.
int install_seccomp_filter();

}  // namespace scrapetrace::sandbox
