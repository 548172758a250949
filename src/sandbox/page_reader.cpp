#include "sandbox/page_reader.h"

#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstring>
#include <memory>
#include <optional>
#include <utility>

#include "sandbox/channel.h"
#include "sandbox/check_reply.h"
#include "sandbox/exit_messages.h"
#include "sandbox/fork_server.h"
#include "sandbox/known_messages.h"
#include "sandbox/pipe.h"
#include "sandbox/reply.h"
#include "sandbox/worker.h"
#include "scan/file_signature.h"
#include "scan/page_name.h"

namespace scrapetrace::sandbox {

namespace {

constexpr std::size_t kLongestName = 4096;

// It still wrote after the reader had closed the pipe.
bool wrote_to_closed_pipe(const WorkerExit& worker_exit) {
  return WIFSIGNALED(worker_exit.status) && WTERMSIG(worker_exit.status) == SIGPIPE;
}

}  // namespace

struct PageReader::Parts {
  scan::ReadLimits limits;
  Descriptor control;  // empty: decode in this process
  pid_t fork_server = -1;
  ~Parts() {
    if (fork_server < 0) return;
    control = Descriptor();
    waitpid(fork_server, nullptr, 0);
  }

  // The fork server enforces the time limit; this one is for when it cannot.
  static double reply_timeout_s(const scan::ReadLimits& limits) { return std::min(limits.seconds, 1e5) + 10; }

  [[nodiscard]] static std::optional<WorkerExit> await(int exit_socket, double reply_timeout_s) {
    pollfd event{exit_socket, POLLIN, 0};
    int ready = -1;
    do {
      ready = poll(&event, 1, static_cast<int>(reply_timeout_s * 1000));
    } while (ready < 0 && errno == EINTR);
    if (ready <= 0) return WorkerExit{0, true, false, {}};
    const auto message = receive(exit_socket);
    if (!message || message->bytes.size() != sizeof(WorkerExit)) return std::nullopt;
    WorkerExit worker_exit;
    std::memcpy(&worker_exit, message->bytes.data(), sizeof worker_exit);
    return worker_exit;
  }

  [[nodiscard]] static ReplyLimits reply_limits(const scan::ReadLimits& limits) {
    const std::chrono::duration<double> patience(reply_timeout_s(limits));
    return {std::min(limits.memory_megabytes, limits.left.light_megabytes) * 1e6,
            std::chrono::steady_clock::now() + std::chrono::ceil<std::chrono::milliseconds>(patience)};
  }

  [[nodiscard]] scan::ReadLimits with(const scan::CaseShare& left) const {
    scan::ReadLimits out = limits;
    out.left = left;
    out.seconds = std::min(out.seconds, left.seconds);
    return out;
  }

  // A page, page indices, or problems without a file name.
  [[nodiscard]] Reply ask(Request request, const scan::CaseShare& left, const scan::ScanFile& file) const {
    request.limits = with(left);
    if (request.limits.seconds <= 0) return out_of_time(left.of);
    request.read.limits = request.flatten.limits = request.limits;
    request.by_libvips = request.task == Task::flatten_page || scan::needs_libvips(file);
    const auto begun = std::chrono::steady_clock::now();
    Reply reply = ask_once(request, file);
    if (!std::holds_alternative<NeedsLibvips>(reply) || request.by_libvips) return reply;
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - begun;
    request.by_libvips = true;
    request.limits.seconds = std::max(0.0, request.limits.seconds - taken.count());
    return ask_once(request, file);
  }

  [[nodiscard]] Reply ask_once(const Request& request, const scan::ScanFile& file) const {
    auto [result, written] = new_pipe();
    auto [here, there] = connected_pair();
    const std::array files{file.descriptor(), written.get(), there.get()};
    std::string bytes(reinterpret_cast<const char*>(&request), sizeof request);
    bytes += file.name().substr(0, kLongestName);
    if (!here || !result || !send(control.get(), bytes, files)) return lost_fork_server();
    there = Descriptor();
    written = Descriptor();
    auto reply = read_reply(result.get(), reply_limits(request.limits));
    result = Descriptor();
    const auto worker_exit = await(here.get(), reply_timeout_s(request.limits));
    if (!worker_exit) return lost_fork_server();
    auto words = wrote_to_closed_pipe(*worker_exit) ? std::string() : exit_problem(*worker_exit, limits);
    const auto& left = request.limits.left;
    if (worker_exit->late && left.seconds < limits.seconds) return out_of_time(left.of);
    if (!words.empty()) return Problems{{"", 0, 0, std::move(words)}};
    if (!reply) return invalid_reply();
    if (const auto* full = std::get_if<OutOfMemory>(&*reply)) {
      return full->here && left.light_megabytes < limits.memory_megabytes ? out_of_case_memory(left.of)
                                                                          : out_of_memory(limits);
    }
    if (auto* told = std::get_if<Problems>(&*reply)) {
      for (Problem& problem : *told) problem.what = shown_problem(problem.what, file.name());
    }
    return is_possible(*reply, request) ? std::move(*reply) : invalid_reply();
  }

  [[nodiscard]] static bool is_possible(const Reply& reply, const Request& request) {
    if (const auto* page = std::get_if<PageRaster>(&reply))
      return request.task != Task::list_scans && impossible_field(*page, request).empty();
    if (const auto* scans = std::get_if<Scans>(&reply))
      return request.task == Task::list_scans && are_possible(*scans, request.limits);
    return true;
  }

  // Checks a page decoded in this process against the case's memory limit.
  static Result<PageRaster> kept(Result<PageRaster> page, const scan::CaseShare& left,
                                 const std::string& name) {
    if (!page) return page;
    const double bytes = static_cast<double>(page->linear.size()) * sizeof(std::uint16_t);
    if (bytes <= left.light_megabytes * 1e6) return page;
    Problems problems = out_of_case_memory(left.of);
    problems.front().file = name;
    return problems;
  }

  template <class Value>
  [[nodiscard]] Result<Value> ask_for(const Request& request, const scan::ScanFile& file,
                                      const std::string& shown, const scan::CaseShare& left = {}) const {
    Reply reply = ask(request, left, file);
    if (auto* value = std::get_if<Value>(&reply)) return std::move(*value);
    Problems problems = invalid_reply();
    if (auto* told = std::get_if<Problems>(&reply); told != nullptr && !told->empty())
      problems = std::move(*told);
    for (Problem& problem : problems) problem.file = shown;
    return problems;
  }
};

PageReader::PageReader(std::unique_ptr<Parts> parts) : parts_(std::move(parts)) {}
PageReader::PageReader(PageReader&&) noexcept = default;
PageReader& PageReader::operator=(PageReader&&) noexcept = default;
PageReader::~PageReader() = default;

Result<PageReader> PageReader::in_this_process(const scan::ReadLimits& limits) {
  auto parts = std::make_unique<Parts>();
  parts->limits = limits;
  return PageReader(std::move(parts));
}

Result<PageReader> PageReader::start(const scan::ReadLimits& limits, Work work) {
  auto parts = std::make_unique<Parts>();
  parts->limits = limits;
  auto [here, there] = connected_pair();
  const pid_t pid = here ? fork() : -1;
  if (pid < 0) {
    return Problem{"", 0, 0,
                   std::string("the process that reads scans cannot be started: ") + std::strerror(errno) +
                       "; close other programs"};
  }
  if (pid == 0) {
    here = Descriptor();
    run_fork_server(there.get(), work == nullptr ? read_scan : work);
  }
  parts->fork_server = pid;
  parts->control = std::move(here);
  return PageReader(std::move(parts));
}

Result<std::vector<std::string>> PageReader::pages_of(const std::string& name) const {
  if (!parts_->control) return scan::pages_of(name, parts_->limits);
  const auto asked = scan::page_named(name);
  const auto file = scan::ScanFile::open(asked.file, parts_->limits);
  if (!file) return file.problems();
  if (asked.file != name || scan::holds_one_page(*file)) return std::vector<std::string>{name};
  Request request;
  request.task = Task::list_scans;
  const auto scans = parts_->ask_for<Scans>(request, *file, name);
  if (!scans) return scans.problems();
  return scan::names_of(name, *scans);
}

Result<PageRaster> PageReader::read_page(const std::string& name, scan::ReadOptions options) const {
  const auto left = options.limits.left;
  options.limits = parts_->with(left);
  if (!parts_->control) return Parts::kept(scan::read_page(name, options), left, name);
  const auto asked = scan::page_named(name);
  const auto file = scan::ScanFile::open(asked.file, parts_->limits);
  if (!file) return file.problems();
  Request request;
  request.task = Task::read_page;
  request.index = asked.index;
  request.read = options;
  return parts_->ask_for<PageRaster>(request, *file, name, left);
}

Result<PageRaster> PageReader::flatten_page(const std::string& name, const PhotoMap& map,
                                            scan::FlattenOptions options) const {
  const auto left = options.limits.left;
  options.limits = parts_->with(left);
  if (!parts_->control) return Parts::kept(scan::flatten_page(name, map, options), left, name);
  const auto asked = scan::page_named(name);
  const auto file = scan::ScanFile::open(asked.file, parts_->limits);
  if (!file) return file.problems();
  Request request;
  request.task = Task::flatten_page;
  request.index = asked.index;
  request.map = map;
  request.flatten = options;
  return parts_->ask_for<PageRaster>(request, *file, name, left);
}

}  // namespace scrapetrace::sandbox
