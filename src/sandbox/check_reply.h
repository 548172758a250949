#pragma once
// Checks a worker's reply against what is known without it: the request, the limits and what follows from
// them. reply.h has already checked that numbers are finite.

#include <string>

#include "sandbox/reply.h"
#include "sandbox/request.h"

namespace scrapetrace::sandbox {

// The name of the first impossible field, or an empty string. For a page that was read or rectified.
std::string impossible_field(const PageRaster& page, const Request& request);
// True for ascending page indices, no more than allowed.
bool are_possible(const Scans& scans, const scan::ReadLimits& limits);

}  // namespace scrapetrace::sandbox
