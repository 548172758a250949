#pragma once
// Bytes between two processes, one way.

#include <chrono>
#include <cstdint>
#include <span>
#include <utility>

#include "sandbox/channel.h"

namespace scrapetrace::sandbox {

// Where to read, and where to write; empty ones when there are no descriptors left. Reading does not wait.
std::pair<Descriptor, Descriptor> new_pipe();

// Both, one after the other; waits until they are taken. False when nobody takes them.
bool write_all(int pipe, std::span<const std::uint8_t> first, std::span<const std::uint8_t> second);

class PipeReader {
 public:
  PipeReader(int pipe, std::chrono::steady_clock::time_point until) : pipe_(pipe), until_(until) {}
  // Waits for as many bytes as are asked for. False when they do not come, or not in time.
  bool take(std::span<std::uint8_t> bytes);
  // Waits for the end. False when more comes, or the end not in time.
  bool at_end();

 private:
  // How many were read of those: 0 at the end, negative when nothing comes in time.
  std::ptrdiff_t read_some(std::span<std::uint8_t> bytes) const;

  int pipe_;
  std::chrono::steady_clock::time_point until_;
};

}  // namespace scrapetrace::sandbox
