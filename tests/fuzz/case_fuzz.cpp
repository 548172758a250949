#include "fuzz/target.h"
#include "report/case_json.h"
#include "report/score_json.h"

// A line that is taken is written so that it is taken again, the same.
void scrapetrace::fuzz::take(std::string_view bytes) {
  report::record_json(1, {}, std::string(bytes), "");
  const auto record = report::case_from_line(bytes);
  if (!record) return;
  const auto line = report::case_line(*record);
  const auto again = report::case_from_line(line);
  expect(again && report::case_line(*again) == line);
}
