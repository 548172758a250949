#include "cli/program.h"

#include <fmt/format.h>

#include <csignal>
#include <cstdio>
#include <exception>
#include <new>

#include "cli/heap.h"
#include "cli/output.h"
#include "scrapetrace/out_of_time.h"

namespace scrapetrace::cli {

int run_program(const std::function<ExitStatus()>& work) {
  prepare_heap();
  remove_temporary_files_on_signals();
  std::signal(SIGXFSZ, SIG_IGN);  // exceeding a file size limit becomes a write error
  try {
    return static_cast<int>(work());
  } catch (const OutOfTime&) {
    complain(
        "the scans were not judged to the end within the time for it; give fewer, or raise "
        "--most-case-seconds");
    return static_cast<int>(ExitStatus::scan_failed);
  } catch (const std::bad_alloc&) {
    std::fputs(
        "scrapetrace: out of memory; close other programs, scan at fewer dpi, or raise --most-case-memory\n",
        stderr);
  } catch (const std::exception& error) {
    complain(fmt::format("cannot go on: {}", error.what()));
  } catch (...) {
    std::fputs("scrapetrace: cannot go on, for a reason unknown\n", stderr);
  }
  return static_cast<int>(ExitStatus::bad_request);
}

}  // namespace scrapetrace::cli
