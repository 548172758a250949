#pragma once
// Loads what decoders need before the process loses the right to open files.

#include "scan/scan_file.h"

namespace scrapetrace::scan {

// Loads libvips. A failure is reported by the later reading.
void preload_libvips();

// Loads libvips and what the decoder of the file's format needs. Reads the first bytes only.
void preload_decoder(const ScanFile& file);

}  // namespace scrapetrace::scan
