#include "scan/decode_directly.h"

#include "scan/jpeg_decoder.h"
#include "scan/png_decoder.h"
#include "scan/tiff_decoder.h"

namespace scrapetrace::scan {

std::unique_ptr<PageDecoder> direct_decoder(const ScanFile& file, int index, const OpenedPage& opened,
                                            const StoredSize& size) {
  switch (opened.format) {
    case Format::tiff:
      return tiff_decoder(file, index, size);
    case Format::png:
#ifdef SCRAPETRACE_ISAL
      return png_decoder(file, size);
#else
      break;
#endif
    case Format::jpeg:
      return jpeg_decoder({&file, {}}, size);
    case Format::pdf:  // a page that is a JPEG, or one that is drawn
      return opened.bytes ? jpeg_decoder({nullptr, *opened.bytes}, size) : nullptr;
    case Format::webp:
    case Format::heif:
      break;
  }
  return nullptr;
}

}  // namespace scrapetrace::scan
