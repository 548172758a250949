// libFuzzer's way in.

#include "fuzz/target.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  scrapetrace::fuzz::take({reinterpret_cast<const char*>(data), size});
  return 0;
}
