#pragma once
// A worker's reply over a pipe: linear light while it is decoded, then the result. The reader trusts no byte:
// it checks sizes before use, numbers before belief and text before display.

#include <chrono>
#include <cstddef>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "scan/block_sums.h"
#include "scrapetrace/page.h"
#include "scrapetrace/result.h"

namespace scrapetrace::sandbox {

// The worker's memory limit was exceeded, or here the limit for light.
struct OutOfMemory {
  bool here = false;
};
// The task needs libvips: ask again with libvips loaded.
struct NeedsLibvips {};
using Scans = std::vector<int>;  // indices of pages, from 0
using Reply = std::variant<PageRaster, Scans, Problems, OutOfMemory, NeedsLibvips>;

// A sink that sends a page's light to the other end. It throws std::bad_alloc when the other end accepts no
// more.
scan::LightSink remote_light_sink(int pipe, std::size_t blocks, std::size_t samples);

// Sends the final part of a reply; false when the other end accepts no more. If the page's `linear` is empty,
// its light must have gone through remote_light_sink().
bool write_reply(int pipe, const Reply& reply);

struct ReplyLimits {
  double bytes = 1e9;  // of a page's light
  std::chrono::steady_clock::time_point until = std::chrono::steady_clock::time_point::max();
};

// Reads a whole reply. Nothing when it is late or not what write_reply and remote_light_sink can have
// written. Problems have no file name.
std::optional<Reply> read_reply(int pipe, const ReplyLimits& limits = {});

}  // namespace scrapetrace::sandbox
