#pragma once
// What a worker hands back, over a pipe: a page's light as it is decoded, and at the end what there is to
// say. Who reads it takes every byte for an attacker's: sizes are checked before they are used, numbers
// before they are believed, words before they are shown.

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

// The memory that the worker is allowed did not do, or that which its page's light may take here.
struct OutOfMemory {
  bool here = false;
};
// The task cannot be done without libvips: it is to be asked for again, with it.
struct NeedsLibvips {};
using Scans = std::vector<int>;  // indices of pages, from 0
using Reply = std::variant<PageRaster, Scans, Problems, OutOfMemory, NeedsLibvips>;

// Room at the other end for the light of the page that is to come. What it throws: std::bad_alloc when the
// other end takes no more.
scan::PutLight room_for_light(int pipe, std::size_t blocks, std::size_t samples);

// The end of a reply; false when the other end takes no more. The light of a page whose `linear` is empty
// must have gone through room_for_light() already.
bool write_reply(int pipe, const Reply& reply);

struct ReplyLimits {
  double bytes = 1e9;  // of a page's light
  std::chrono::steady_clock::time_point until = std::chrono::steady_clock::time_point::max();
};

// Waits for the end of the reply, and of all that comes over the pipe. Nothing when it is not what
// write_reply and room_for_light can have written, or comes too late. Problems come without a file's name.
std::optional<Reply> read_reply(int pipe, const ReplyLimits& limits = {});

}  // namespace scrapetrace::sandbox
