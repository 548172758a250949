#include "fuzz/target.h"
#include "report/case_json.h"
#include "score/score_json.h"

// A line that is taken is written so that it is taken again, the same.
void scrapetrace::fuzz::take(std::string_view bytes) {
  report::record_json(1, {}, std::string(bytes), "");
  const auto record = score::case_from_line(bytes);
  if (!record) return;
  const auto line = score::case_line(*record);
  const auto again = score::case_from_line(line);
  expect(again && score::case_line(*again) == line);
}
