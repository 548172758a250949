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
  Descriptor ending;  // socket for an Ending
};

// Gives up everything but the order's files, takes on limits and filter, does the work, says so and exits.
[[noreturn]] void run_worker(Order order, Work work);

// The work that is done in earnest: reads the scan by src/scan.
void read_scan(const Request& request, const scan::ScanFile& file, int result);

}  // namespace scrapetrace::sandbox
