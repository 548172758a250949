#pragma once
// Messages to the user about a worker that failed.

#include <string>

#include "sandbox/fork_server.h"
#include "scrapetrace/result.h"

namespace scrapetrace::sandbox {

// Empty when the worker exited normally.
std::string exit_problem(const WorkerExit& worker_exit, const scan::ReadLimits& limits);
Problems out_of_memory(const scan::ReadLimits& limits);
Problems out_of_case_memory(const scan::CaseLimits& limits);  // the pages of a case exceed their memory
Problems out_of_time(const scan::CaseLimits& limits);
Problems invalid_reply();     // a reply failed a check
Problems lost_fork_server();  // the process that starts workers is gone

// Whether the reason is transient (time, memory, processes), so that the same scan may be readable later.
bool is_transient(const std::string& reason);

}  // namespace scrapetrace::sandbox
