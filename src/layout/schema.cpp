#include "layout/schema.h"

#include <fmt/format.h>

#include "base/wording.h"

namespace scrapetrace::layout {

bool check_schema(TableReader& root, const std::string& expected) {
  if (!root.has("schema")) {
    std::string ignored;
    root.word("schema", ignored, {expected});  // reports it, unless its line had to be skipped
    return true;
  }
  std::string found;
  return root.word("schema", found, {expected});
}

}  // namespace scrapetrace::layout
