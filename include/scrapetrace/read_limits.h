#pragma once
// How much a scan may ask of the computer that reads it. A file's header promises, and these are held against
// the promise before anything is decoded; the last two are for whoever runs the reading (sandbox/).

namespace scrapetrace::scan {

struct ReadLimits {
  double megabytes = 4096;         // of the file; 10^6 bytes
  double megapixels = 600;         // of a page: SRA3 at 1600 dpi has 571
  int pages = 64;                  // of a file: more is no set of scans of one machine in one state
  double seconds = 120;            // for a page, on the clock
  double memory_megabytes = 4096;  // of the process that reads it
};

}  // namespace scrapetrace::scan
