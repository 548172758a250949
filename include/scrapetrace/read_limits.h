#pragma once
// How much a scan, and the scans of one case together, may ask of the computer that reads them. A file's
// header promises, and these are held against the promise before anything is decoded; those of memory and
// time are for whoever runs the reading (sandbox/).

#include <limits>

namespace scrapetrace::scan {

// All pages that are judged together.
struct CaseLimits {
  double megapixels = 2000;        // 25 pages of SRA3 at 600 dpi; 10^6 pixels
  double memory_megabytes = 2048;  // that its pages' light and the judging may take
  double seconds = 600;            // to read and to judge them, on the clock
};

// What is left of them for the next page.
struct CaseShare {
  double megapixels = std::numeric_limits<double>::infinity();
  double light_megabytes = std::numeric_limits<double>::infinity();
  double seconds = std::numeric_limits<double>::infinity();
  CaseLimits of;
};

struct ReadLimits {
  double megabytes = 4096;         // of the file; 10^6 bytes
  double megapixels = 600;         // of a page: SRA3 at 1600 dpi has 571
  int pages = 64;                  // of a file: more is no set of scans of one machine in one state
  double seconds = 120;            // for a page, on the clock
  double memory_megabytes = 4096;  // of the process that reads it
  CaseShare left;
};

}  // namespace scrapetrace::scan
