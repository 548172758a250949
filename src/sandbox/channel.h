#pragma once
// Messages that carry open files between processes.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace scrapetrace::sandbox {

// An owned file descriptor.
class Descriptor {
 public:
  Descriptor() = default;
  explicit Descriptor(int number) : number_(number) {}
  Descriptor(Descriptor&& other) noexcept : number_(std::exchange(other.number_, -1)) {}
  Descriptor& operator=(Descriptor&& other) noexcept {
    std::swap(number_, other.number_);
    return *this;
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor();
  [[nodiscard]] int get() const { return number_; }
  explicit operator bool() const { return number_ >= 0; }

 private:
  int number_ = -1;
};

// A connected pair of sockets that keep message boundaries; empty when no descriptors are left.
std::pair<Descriptor, Descriptor> connected_pair();

struct Message {
  std::string bytes;
  std::vector<Descriptor> files;
};

// At most 16 KiB and four files. False when the other end is closed.
bool send(int socket, std::string_view bytes, std::span<const int> files);
// Blocks. Nothing when the other end is closed.
std::optional<Message> receive(int socket);

}  // namespace scrapetrace::sandbox
