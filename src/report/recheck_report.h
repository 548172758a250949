#pragma once
// What a cleaning did, as text and as JSON (scrapetrace.recheck/1, docs/recheck.md).

#include <string>
#include <string_view>
#include <vector>

#include "scrapetrace/layout.h"
#include "scrapetrace/recheck.h"

namespace scrapetrace::report {

// All that a recheck weighed and found.
struct RecheckStory {
  const Layout& layout;
  const RecheckEvidence& evidence;
  const std::vector<Cleaned>& cleaned;
  const RecheckOptions& options;
  const Recheck& result;
};

// The answer in one sentence.
std::string recheck_sentence(const RecheckStory& story);

std::string recheck_text(const RecheckStory& story);
std::string recheck_json(const RecheckStory& story, std::string_view tool_version);

// One streak's fate in a few words: "gone", "fainter by 60 % (+-4)", "moved 2.0 mm to the right", ...
std::string change_words(const StreakChange& change);

// "head 3, left side" or "head 3, left side, faceplate"
std::string cleaned_name(const Cleaned& place);

}  // namespace scrapetrace::report
