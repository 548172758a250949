#pragma once
// What a fuzzer feeds. Each <name>_fuzz.cpp is one program.

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>

namespace scrapetrace::fuzz {

// Does with the bytes what the program would; anything goes but a crash, a hang or a broken promise.
void take(std::string_view bytes);

// A promise; broken, it is a finding.
inline void expect(bool kept) {
  if (!kept) std::abort();
}

inline std::string slurp(const std::string& path) {
  std::ifstream file(std::string(SCRAPETRACE_SOURCE_DIR) + "/" + path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

}  // namespace scrapetrace::fuzz
