#include "report/words.h"
#include "report/wrap.h"
#include "scrapetrace/provenance.h"

namespace scrapetrace::report {

std::string origin_sentence(const Origin& origin) {
  constexpr std::size_t kDigits = 16;
  std::string out = "scrapetrace " + origin.tool_version + "; SHA-256 of ";
  for (std::size_t i = 0; i < origin.files.size(); ++i) {
    const InputFile& file = origin.files[i];
    out += (i == 0 ? "" : ", ") + file.role + ": ";
    out += file.sha256.empty() ? "could not be read" : file.sha256.substr(0, kDigits);
  }
  return out + ".";
}

std::string origin_text(const Origin& origin) {
  return '\n' + wrap("", origin_sentence(origin));
}

}  // namespace scrapetrace::report
