#pragma once

namespace scrapetrace::report {

// That lengths are written in, for people; values are millimetres everywhere else.
enum class LengthUnit { mm, inch };

}  // namespace scrapetrace::report
