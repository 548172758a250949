#pragma once
// The one place where what a worker says of a scan is held against what is known without it: the request, the
// limits, and what follows from either. The wire (reply.h) has seen to it that every number is one.

#include <string>

#include "sandbox/reply.h"
#include "sandbox/request.h"

namespace scrapetrace::sandbox {

// The first field that cannot be so, by name; empty when all can. Of a page that was read, or made flat.
std::string impossible_field(const PageRaster& page, const Request& request);
// Pages in the order of the file, each once, no more than are allowed.
bool are_possible(const Scans& scans, const scan::ReadLimits& limits);

}  // namespace scrapetrace::sandbox
