#pragma once
// A pipe between two processes, with deadlines.

#include <chrono>
#include <cstdint>
#include <span>
#include <utility>

#include "sandbox/channel.h"

namespace scrapetrace::sandbox {

// Read end and write end; empty when no descriptors are left. Reading does not block.
std::pair<Descriptor, Descriptor> new_pipe();

// Writes both buffers, blocking. False when the reader is gone.
bool write_all(int pipe, std::span<const std::uint8_t> first, std::span<const std::uint8_t> second);

class PipeReader {
 public:
  PipeReader(int pipe, std::chrono::steady_clock::time_point until) : pipe_(pipe), until_(until) {}
  // Waits until the buffer is full. False when data ends or is late.
  bool take(std::span<std::uint8_t> bytes);
  // Waits for end of data. False when more data comes, or the end is late.
  bool at_end();

 private:
  // Bytes read: 0 at the end, negative at the deadline.
  std::ptrdiff_t read_some(std::span<std::uint8_t> bytes) const;

  int pipe_;
  std::chrono::steady_clock::time_point until_;
};

}  // namespace scrapetrace::sandbox
