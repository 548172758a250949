#pragma once
// What a worker is asked to do with a scan. Sent between processes of the same program as its bytes.

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
  bool by_libvips = false;  // which is loaded before the worker is closed in; else it asks when it needs it
  scan::ReadLimits limits;
  scan::ReadOptions read;
  scan::FlattenOptions flatten;
  PhotoMap map;
};
static_assert(std::is_trivially_copyable_v<Request>);

// Does the task on the opened file and writes a reply (reply.h) to `result`. Runs in a process that may do
// nothing else any more.
using Work = void (*)(const Request& request, const scan::ScanFile& file, int result);

}  // namespace scrapetrace::sandbox
