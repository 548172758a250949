#pragma once
// Why a scan could not be looked at, in words for whoever gave it.

#include <string>

#include "sandbox/nursery.h"
#include "scrapetrace/result.h"

namespace scrapetrace::sandbox {

// Empty when the worker ended as it should.
std::string wrong_with(const Ending& ending, const scan::ReadLimits& limits);
Problems out_of_memory(const scan::ReadLimits& limits);
Problems out_of_room(const scan::CaseLimits& limits);  // for the light of one more page
Problems out_of_time(const scan::CaseLimits& limits);
Problems made_no_sense();  // of a reply
Problems lost_reader();    // the process that starts workers is gone

// Whether one of these has its reason in the moment (time, memory, processes), so that the same scan may be
// read another time.
bool may_pass(const std::string& reason);

}  // namespace scrapetrace::sandbox
