#include <algorithm>
#include <array>

#include "fuzz/target.h"
#include "report/triage_report.h"
#include "report/words.h"

namespace {

using namespace std::string_view_literals;

// Every tag of a row is one of ours, whatever the words in it.
bool only_our_tags(std::string_view row) {
  constexpr std::array kTags{"<tr>"sv,  "</tr>"sv, "<th "sv, "</th>"sv, "<td>"sv,          "<td class=\""sv,
                             "</td>"sv, "<a "sv,   "</a>"sv, "<div>"sv, "<div class=\""sv, "</div>"sv};
  for (std::size_t at = row.find('<'); at != std::string_view::npos; at = row.find('<', at + 1)) {
    if (std::none_of(kTags.begin(), kTags.end(), [&](auto tag) { return row.substr(at).starts_with(tag); }))
      return false;
  }
  return true;
}

void take_line(std::string_view line) {
  using namespace scrapetrace;
  const auto one = report::triage_case_of(line, "cases.jsonl");
  if (!one) return;
  const std::string written = report::triage_line(*one);
  const auto again = report::triage_case_of(written, "cases.jsonl");
  fuzz::expect(again.ok() && report::triage_line(*again) == written);
  fuzz::expect(only_our_tags(report::triage_row(*one, report::LengthUnit::mm)));
  const std::string sentence = report::triage_sentence(*one);
  fuzz::expect(report::printable_lines(sentence) == sentence);
  report::TriageCount count;
  count.add(*one);
  fuzz::expect(count.all() == 1);
}

}  // namespace

// A shard from somebody else: what part.json says, then a case per line. What is taken is written so that it
// is taken again, the same, and neither drives a terminal nor a browser.
void scrapetrace::fuzz::take(std::string_view bytes) {
  const std::size_t end = std::min(bytes.find('\n'), bytes.size());
  if (const auto part = report::triage_part_of(bytes.substr(0, end), "part.json")) {
    const auto written = report::triage_part_json(*part);
    const auto again = report::triage_part_of(written, "part.json");
    expect(again.ok() && report::triage_part_json(*again) == written);
  }
  for (std::size_t at = end + 1; at < bytes.size();) {
    const std::size_t stop = std::min(bytes.find('\n', at), bytes.size());
    take_line(bytes.substr(at, stop - at));
    at = stop + 1;
  }
}
