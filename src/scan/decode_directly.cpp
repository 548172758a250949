#include "scan/decode_directly.h"

#include "scan/tiff_decoder.h"

namespace scrapetrace::scan {

std::unique_ptr<PageDecoder> direct_decoder(const ScanFile& file, int index, const OpenedPage& opened,
                                            const StoredSize& size) {
  switch (opened.format) {
    case Format::tiff:
      return tiff_decoder(file, index, size);
    case Format::png:
    case Format::jpeg:
    case Format::pdf:
    case Format::webp:
    case Format::heif:
      break;
  }
  return nullptr;
}

}  // namespace scrapetrace::scan
