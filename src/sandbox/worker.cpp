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
#include "scan/read_page_into.h"
#include "scan/vips_session.h"
#include "scan/warm_up.h"

namespace scrapetrace::sandbox {

namespace {

constexpr int kScan = 3;
constexpr int kResult = 4;
constexpr int kNotClosedIn = 71;  // exit status; it was tried before, so that nobody's advice hangs on it

// Memory that is mapped already: libraries, mostly.
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

void take_on_limits(const scan::ReadLimits& limits) {
  constexpr double kPerThread = 80e6;  // address space that a stack and an allocator's arena reserve
  const double threads = std::max(1U, std::thread::hardware_concurrency());
  limit(RLIMIT_CORE, 0);
  limit(RLIMIT_CPU, std::ceil(limits.seconds * threads) + 1);
  limit(RLIMIT_FSIZE, limits.memory_megabytes * 1e6);
  if (!kSanitized)
    limit(RLIMIT_AS, mapped_bytes() + limits.memory_megabytes * 1e6 + 2 * threads * kPerThread);
}

// Leaves nothing open but the scan, the result, and the three that lead nowhere. False when it cannot.
bool keep_only(const Order& order) {
  const int scan = fcntl(order.scan.get(), F_DUPFD, kResult + 1);
  const int result = fcntl(order.result.get(), F_DUPFD, kResult + 1);
  return scan >= 0 && result >= 0 && dup2(scan, kScan) == kScan && dup2(result, kResult) == kResult &&
         close_others(kResult + 1) == Gap::none;
}

bool speaks_of_memory(const Problems& problems) {
  return std::any_of(problems.begin(), problems.end(), [](const Problem& problem) {
    return problem.what.find("out of memory") != std::string::npos;
  });
}

}  // namespace

void run_worker(Order order, Work work) {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  if (!keep_only(order)) _exit(kNotClosedIn);
  // A write past the end of the allowed size is to fail, and a worker that fails is to die of it.
  for (const int signal : {SIGCHLD, SIGINT, SIGTERM, SIGHUP, SIGPIPE}) std::signal(signal, SIG_DFL);
  const scan::ScanFile file(order.name, kScan);
  if (order.request.by_libvips) {
    scan::warm_up(file);
  } else {
    scan::do_without_vips();
  }
  take_on_limits(order.request.limits);
  if (close_in_for_good().gap != Gap::none) _exit(kNotClosedIn);
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
    } else if (speaks_of_memory(read.problems())) {
      write_reply(result, OutOfMemory{});
    } else {
      write_reply(result, read.problems());
    }
  };
  switch (request.task) {
    case Task::list_scans:
      return answer(scan::scans_in(file, request.limits));
    case Task::read_page: {
      const auto room = [result](std::size_t blocks, std::size_t samples) {
        return room_for_light(result, blocks, samples);
      };
      return answer(scan::read_page_into(room, file, request.index, request.read));
    }
    case Task::flatten_page:
      return answer(scan::flatten_page(file, request.index, request.map, request.flatten));
  }
}

}  // namespace scrapetrace::sandbox
