#pragma once
// Common start-up and error handling of the programs.

#include <functional>

#include "cli/exit_status.h"

namespace scrapetrace::cli {

// Returns the process's exit status. Sets up allocator and signals; prints exceptions and returns
// bad_request.
int run_program(const std::function<ExitStatus()>& work);

}  // namespace scrapetrace::cli
