#include "sandbox/worker.h"

#include <fcntl.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <new>
#include <thread>
#include <utility>

#include "sandbox/confinement.h"
#include "sandbox/reply.h"
#include "sandbox/sanitized.h"
#include "scan/page_name.h"
#include "scan/preload.h"
#include "scan/read_page_into.h"
#include "scan/vips_session.h"

namespace scrapetrace::sandbox {

namespace {

constexpr int kScan = 3;
constexpr int kResult = 4;
constexpr int kNotConfined = 71;  // exit status; try_confinement() succeeded before, so this is rare

// Memory already mapped, mostly libraries.
double mapped_bytes() {
  long pages = 0;
  std::FILE* file = std::fopen("/proc/self/statm", "r");
  if (file == nullptr || std::fscanf(file, "%ld", &pages) != 1) pages = 0;
  if (file != nullptr) std::fclose(file);
  return static_cast<double>(pages) * static_cast<double>(sysconf(_SC_PAGESIZE));
}

void limit(int what, double value) {
  const auto most = static_cast<rlim_t>(value);
  const rlimit both{most, most};
  setrlimit(static_cast<__rlimit_resource_t>(what), &both);
}

void set_limits(const scan::ReadLimits& limits) {
  constexpr double kPerThread = 80e6;  // address space of a thread's stack and allocator arena
  const double threads = std::max(1U, std::thread::hardware_concurrency());
  limit(RLIMIT_CORE, 0);
  limit(RLIMIT_CPU, std::ceil(limits.seconds * threads) + 1);
  limit(RLIMIT_FSIZE, limits.memory_megabytes * 1e6);
  if (!kSanitized)
    limit(RLIMIT_AS, mapped_bytes() + limits.memory_megabytes * 1e6 + 2 * threads * kPerThread);
}

// Closes all descriptors but the scan, the result and the standard streams. False on failure.
bool keep_only(const Order& order) {
  const int scan = fcntl(order.scan.get(), F_DUPFD, kResult + 1);
  const int result = fcntl(order.result.get(), F_DUPFD, kResult + 1);
  return scan >= 0 && result >= 0 && dup2(scan, kScan) == kScan && dup2(result, kResult) == kResult &&
         close_other_descriptors(kResult + 1) == Gap::none;
}

bool is_out_of_memory(const Problems& problems) {
  return std::any_of(problems.begin(), problems.end(), [](const Problem& problem) {
    return problem.what.find("out of memory") != std::string::npos;
  });
}

}  // namespace

void run_worker(Order order, Work work) {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (!keep_only(order)) _exit(kNotConfined);
  // Default signal actions: exceeding RLIMIT_FSIZE or crashing must end the worker.
  for (const int signal : {SIGCHLD, SIGINT, SIGTERM, SIGHUP, SIGPIPE}) std::signal(signal, SIG_DFL);
  const scan::ScanFile file(order.name, kScan);
  if (order.request.by_libvips) {
    scan::preload_decoder(file);
  } else {
    scan::do_without_vips();
  }
  set_limits(order.request.limits);
  if (confine().gap != Gap::none) _exit(kNotConfined);
  try {
    work(order.request, file, kResult);
  } catch (const scan::LibvipsWanted&) {
    write_reply(kResult, NeedsLibvips{});
  } catch (const std::bad_alloc&) {
    write_reply(kResult, OutOfMemory{});
  }
  _exit(EXIT_SUCCESS);
}

void read_scan(const Request& request, const scan::ScanFile& file, int result) {
  const auto answer = [&](auto read) {
    if (read) {
      write_reply(result, std::move(read).value());
    } else if (is_out_of_memory(read.problems())) {
      write_reply(result, OutOfMemory{});
    } else {
      write_reply(result, read.problems());
    }
  };
  switch (request.task) {
    case Task::list_scans:
      return answer(scan::scans_in(file, request.limits));
    case Task::read_page: {
      const auto make_sink = [result](std::size_t blocks, std::size_t samples) {
        return remote_light_sink(result, blocks, samples);
      };
      return answer(scan::read_page_into(make_sink, file, request.index, request.read));
    }
    case Task::flatten_page:
      return answer(scan::flatten_page(file, request.index, request.map, request.flatten));
  }
}

}  // namespace scrapetrace::sandbox
