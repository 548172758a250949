#include "report/base64.h"

#include <cstddef>
#include <cstdint>

namespace scrapetrace::report {

std::string base64(std::string_view bytes) {
  static constexpr std::string_view kAlphabet =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string out;
  out.reserve((bytes.size() + 2) / 3 * 4);
  for (std::size_t i = 0; i < bytes.size(); i += 3) {
    std::uint32_t group = 0;
    const std::size_t have = bytes.size() - i < 3 ? bytes.size() - i : 3;
    for (std::size_t k = 0; k < 3; ++k) {
      group = (group << 8U) | (k < have ? static_cast<unsigned char>(bytes[i + k]) : 0U);
    }
    for (std::size_t k = 0; k < 4; ++k) {
      out += k <= have ? kAlphabet[(group >> (18U - 6U * k)) & 63U] : '=';
    }
  }
  return out;
}

}  // namespace scrapetrace::report
