#pragma once
// A worker's task, sent as raw bytes between processes of the same program.

#include <string>
#include <type_traits>

#include "scan/flatten_page.h"
#include "scan/read_page.h"
#include "scrapetrace/photo.h"

namespace scrapetrace::sandbox {

enum class Task { list_scans, read_page, flatten_page };

struct Request {
  Task task = Task::read_page;
  int index = 0;            // of the page, from 0
  bool by_libvips = false;  // preload libvips; otherwise the worker asks for it when needed
  scan::ReadLimits limits;
  scan::ReadOptions read;
  scan::FlattenOptions flatten;
  PhotoMap map;
};
static_assert(std::is_trivially_copyable_v<Request>);

// Does the task on the open file and writes a reply (reply.h) to `result`. Runs confined.
using Work = void (*)(const Request& request, const scan::ScanFile& file, int result);

}  // namespace scrapetrace::sandbox
