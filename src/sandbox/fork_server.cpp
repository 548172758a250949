#include "sandbox/fork_server.h"

#include <fcntl.h>
#include <poll.h>
#include <sys/prctl.h>
#include <sys/signalfd.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <utility>
#include <vector>

#include "sandbox/channel.h"
#include "sandbox/sanitized.h"
#include "sandbox/worker.h"
#include "scan/preload.h"

namespace scrapetrace::sandbox {

namespace {

using Clock = std::chrono::steady_clock;

struct Child {
  pid_t pid = -1;
  Clock::time_point deadline;
  Descriptor exit_socket;  // socket for its exit status
};

void tell(const Child& child, const WorkerExit& worker_exit) {
  send(child.exit_socket.get(), {reinterpret_cast<const char*>(&worker_exit), sizeof worker_exit}, {});
}

class ForkServer {
 public:
  ForkServer(int control, Work work) : control_(control), work_(work) {
    sigset_t child_signals;
    sigemptyset(&child_signals);
    sigaddset(&child_signals, SIGCHLD);
    sigprocmask(SIG_BLOCK, &child_signals, &mask_);
    ended_ = Descriptor(signalfd(-1, &child_signals, SFD_CLOEXEC | SFD_NONBLOCK));
  }

  [[noreturn]] void run() {
    confinement_ = try_confinement();
    for (;;) {
      std::array<pollfd, 2> events{{{control_, POLLIN, 0}, {ended_.get(), POLLIN, 0}}};
      poll(events.data(), events.size(), milliseconds_left());
      if (events[1].revents != 0) reap();
      kill_late_workers();
      if (events[0].revents == 0) continue;
      auto message = receive(control_);
      if (!message) leave();
      begin(std::move(*message));
    }
  }

 private:
  [[nodiscard]] int milliseconds_left() const {
    if (children_.empty()) return -1;
    const auto next = std::min_element(children_.begin(), children_.end(),
                                       [](const auto& a, const auto& b) { return a.deadline < b.deadline; });
    const auto left = std::chrono::ceil<std::chrono::milliseconds>(next->deadline - Clock::now()).count();
    return static_cast<int>(std::clamp<std::int64_t>(left, 0, 60'000));
  }

  void begin(Message message) {
    if (message.bytes.size() < sizeof(Request) || message.files.size() != 3) return;
    if (confinement_.gap == Gap::unknown) confinement_ = try_confinement();
    Order order;
    std::memcpy(&order.request, message.bytes.data(), sizeof(Request));
    order.name = message.bytes.substr(sizeof(Request));
    order.scan = std::move(message.files[0]);
    order.result = std::move(message.files[1]);
    Child child;
    child.exit_socket = std::move(message.files[2]);
    if (confinement_.gap != Gap::none) return tell(child, {0, false, true, confinement_});
    // Loaded once, before the fork, for this worker and all later ones.
    if (order.request.by_libvips) scan::preload_libvips();
    const std::chrono::duration<double> allowed(std::min(order.request.limits.seconds, 1e7));
    child.deadline = Clock::now() + std::chrono::ceil<std::chrono::milliseconds>(allowed);
    child.pid = fork();
    if (child.pid == 0) {
      sigprocmask(SIG_SETMASK, &mask_, nullptr);
      run_worker(std::move(order), work_);
    }
    if (child.pid < 0) return tell(child, {0, false, true, confinement_});
    children_.push_back(std::move(child));
  }

  void reap() {
    signalfd_siginfo info{};
    while (read(ended_.get(), &info, sizeof info) == static_cast<ssize_t>(sizeof info)) {
    }
    int status = 0;
    for (pid_t pid = waitpid(-1, &status, WNOHANG); pid > 0; pid = waitpid(-1, &status, WNOHANG)) {
      const auto child = std::find_if(children_.begin(), children_.end(),
                                      [&](const Child& each) { return each.pid == pid; });
      if (child == children_.end()) continue;
      tell(*child, {status, false, false, {}});
      children_.erase(child);
    }
  }

  void kill_late_workers() {
    const auto now = Clock::now();
    std::erase_if(children_, [&](const Child& child) {
      if (child.deadline > now) return false;
      kill(child.pid, SIGKILL);
      tell(child, {SIGKILL, true, false, {}});
      return true;
    });
  }

  [[noreturn]] void leave() {
    for (const Child& child : children_) kill(child.pid, SIGKILL);
    _exit(EXIT_SUCCESS);
  }

  int control_;
  Work work_;
  Confinement confinement_;
  sigset_t mask_{};
  Descriptor ended_;
  std::vector<Child> children_;
};

// Redirects the standard streams to /dev/null, since decoders may write to them. SIGINT is left to the
// parent.
void detach() {
  prctl(PR_SET_PDEATHSIG, SIGKILL);
  prctl(PR_SET_NAME, "scrapetrace-scan");
  const int nowhere = open("/dev/null", O_RDWR | O_CLOEXEC);
  dup2(nowhere, STDIN_FILENO);
  dup2(nowhere, STDOUT_FILENO);
  if (!kSanitized) dup2(nowhere, STDERR_FILENO);
  for (const int signal : {SIGTERM, SIGHUP}) std::signal(signal, SIG_DFL);
  std::signal(SIGINT, SIG_IGN);
}

}  // namespace

void run_fork_server(int control, Work work) {
  detach();
  try {
    ForkServer(control, work).run();
  } catch (...) {
    _exit(EXIT_FAILURE);
  }
}

}  // namespace scrapetrace::sandbox
