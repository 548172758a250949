#pragma once
// The process that decodes one scan and ends.

#include <string>

#include "sandbox/channel.h"
#include "sandbox/request.h"

namespace scrapetrace::sandbox {

struct Order {
  Request request;
  std::string name;  // of the scan, for messages
  Descriptor scan;
  Descriptor result;
};

// Keeps only the order's two files, sets limits and filter, does the work and exits.
[[noreturn]] void run_worker(Order order, Work work);

// The production task: reads the scan by src/scan.
void read_scan(const Request& request, const scan::ScanFile& file, int result);

}  // namespace scrapetrace::sandbox
