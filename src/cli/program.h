#pragma once
// What a program does around its work.

#include <functional>

#include "cli/exit_status.h"

namespace scrapetrace::cli {

// The process's exit status. Prepares the heap and signals; says what is thrown, and gives bad_request.
int run_program(const std::function<ExitStatus()>& work);

}  // namespace scrapetrace::cli
