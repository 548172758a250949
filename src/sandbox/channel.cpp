#include "sandbox/channel.h"

#include <sys/socket.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>

namespace scrapetrace::sandbox {

namespace {

constexpr std::size_t kMostBytes = 16384;
constexpr std::size_t kMostFiles = 4;

struct alignas(cmsghdr) FileSpace {
  std::array<char, CMSG_SPACE(kMostFiles * sizeof(int))> bytes{};
};

}  // namespace

Descriptor::~Descriptor() {
  if (number_ >= 0) close(number_);
}

std::pair<Descriptor, Descriptor> connected_pair() {
  std::array<int, 2> ends{-1, -1};
  if (socketpair(AF_UNIX, SOCK_SEQPACKET | SOCK_CLOEXEC, 0, ends.data()) != 0) return {};
  return {Descriptor(ends[0]), Descriptor(ends[1])};
}

bool send(int socket, std::string_view bytes, std::span<const int> files) {
  if (bytes.empty() || bytes.size() > kMostBytes || files.size() > kMostFiles) return false;
  iovec part{const_cast<char*>(bytes.data()), bytes.size()};
  FileSpace space;
  msghdr message{};
  message.msg_iov = &part;
  message.msg_iovlen = 1;
  if (!files.empty()) {
    message.msg_control = space.bytes.data();
    message.msg_controllen = CMSG_SPACE(files.size_bytes());
    cmsghdr* header = CMSG_FIRSTHDR(&message);
    header->cmsg_level = SOL_SOCKET;
    header->cmsg_type = SCM_RIGHTS;
    header->cmsg_len = CMSG_LEN(files.size_bytes());
    std::memcpy(CMSG_DATA(header), files.data(), files.size_bytes());
  }
  ssize_t sent = -1;
  do {
    sent = sendmsg(socket, &message, MSG_NOSIGNAL);
  } while (sent < 0 && errno == EINTR);
  return sent == static_cast<ssize_t>(bytes.size());
}

std::optional<Message> receive(int socket) {
  Message out;
  out.bytes.resize(kMostBytes);
  iovec part{out.bytes.data(), out.bytes.size()};
  FileSpace space;
  msghdr message{};
  message.msg_iov = &part;
  message.msg_iovlen = 1;
  message.msg_control = space.bytes.data();
  message.msg_controllen = space.bytes.size();
  ssize_t got = -1;
  do {
    got = recvmsg(socket, &message, MSG_CMSG_CLOEXEC);
  } while (got < 0 && errno == EINTR);
  if (got <= 0) return std::nullopt;
  out.bytes.resize(static_cast<std::size_t>(got));
  for (cmsghdr* header = CMSG_FIRSTHDR(&message); header != nullptr; header = CMSG_NXTHDR(&message, header)) {
    if (header->cmsg_level != SOL_SOCKET || header->cmsg_type != SCM_RIGHTS) continue;
    const std::size_t count = (header->cmsg_len - CMSG_LEN(0)) / sizeof(int);
    for (std::size_t k = 0; k < count; ++k) {
      int number = -1;
      std::memcpy(&number, CMSG_DATA(header) + k * sizeof(int), sizeof number);
      out.files.emplace_back(number);
    }
  }
  return out;
}

}  // namespace scrapetrace::sandbox
