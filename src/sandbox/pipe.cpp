#include "sandbox/pipe.h"

#include <fcntl.h>
#include <poll.h>
#include <sys/uio.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cmath>

namespace scrapetrace::sandbox {

namespace {

constexpr int kRoom = 1 << 20;  // pipe capacity, the default limit for unprivileged users

int milliseconds_until(std::chrono::steady_clock::time_point time) {
  const auto left = time - std::chrono::steady_clock::now();
  const double ms = std::chrono::duration<double, std::milli>(left).count();
  return static_cast<int>(std::clamp(std::ceil(ms), 0.0, 1e9));
}

}  // namespace

std::pair<Descriptor, Descriptor> new_pipe() {
  std::array<int, 2> ends{-1, -1};
  if (pipe2(ends.data(), O_CLOEXEC) != 0) return {};
  fcntl(ends[0], F_SETFL, O_NONBLOCK);
  fcntl(ends[0], F_SETPIPE_SZ, kRoom);
  return {Descriptor(ends[0]), Descriptor(ends[1])};
}

bool write_all(int pipe, std::span<const std::uint8_t> first, std::span<const std::uint8_t> second) {
  while (!first.empty() || !second.empty()) {
    const std::array<iovec, 2> parts{{{const_cast<std::uint8_t*>(first.data()), first.size()},
                                      {const_cast<std::uint8_t*>(second.data()), second.size()}}};
    const ssize_t written = writev(pipe, parts.data(), parts.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    const auto of_first = std::min(static_cast<std::size_t>(written), first.size());
    first = first.subspan(of_first);
    second = second.subspan(static_cast<std::size_t>(written) - of_first);
  }
  return true;
}

std::ptrdiff_t PipeReader::read_some(std::span<std::uint8_t> bytes) const {
  for (;;) {
    const ssize_t got = read(pipe_, bytes.data(), bytes.size());
    if (got >= 0) return got;
    if (errno == EINTR) continue;
    if (errno != EAGAIN) return -1;
    pollfd event{pipe_, POLLIN, 0};
    const int ready = poll(&event, 1, milliseconds_until(until_));
    if (ready == 0 || (ready < 0 && errno != EINTR)) return -1;
  }
}

bool PipeReader::take(std::span<std::uint8_t> bytes) {
  while (!bytes.empty()) {
    const std::ptrdiff_t got = read_some(bytes);
    if (got <= 0) return false;
    bytes = bytes.subspan(static_cast<std::size_t>(got));
  }
  return true;
}

bool PipeReader::at_end() {
  std::uint8_t more = 0;
  return read_some({&more, 1}) == 0;
}

}  // namespace scrapetrace::sandbox
