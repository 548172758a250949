#pragma once
// How scans are read: limits and sandboxing.

#include <memory>
#include <string>

#include "cli/options.h"
#include "sandbox/page_reader.h"

namespace scrapetrace::cli {

struct ReadingRequest {
  scan::ReadLimits limits;
  scan::CaseLimits of_case;
  bool no_sandbox = false;
};

// --most-megapixels, --most-megabytes, --most-pages, --most-seconds, --most-memory, the like for a case, and
// --no-sandbox.
void offer_limits(Options& options, ReadingRequest& request);

// The first invalid value, as a sentence; empty when all are valid.
std::string wrong_with(const ReadingRequest& request);

// Create it while the program has one thread.
using Reader = std::shared_ptr<const sandbox::PageReader>;
Result<Reader> start_reader(const ReadingRequest& request);

}  // namespace scrapetrace::cli
