#include "report/case_html.h"

#include <gtest/gtest.h>

#include <string_view>

namespace scrapetrace::report {
namespace {

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

CaseEntry entry(std::int64_t number, const std::string& unit, const std::string& kind,
                const std::string& summary, const std::string& outcome = "") {
  CaseEntry out;
  out.number = number;
  out.unit = unit;
  out.kind = kind;
  out.at = "2026-03-01T14:05:09Z";
  out.who = "Ona Tervik";
  out.summary = summary;
  out.outcome = outcome;
  out.hash = "hash-" + std::to_string(number);
  return out;
}

const CaseChain kWhole{3, 0, "", "hash-3"};

TEST(CaseHtml, TellsHowAUnitStandsBeforeItsRecords) {
  const std::vector<CaseEntry> entries{entry(1, "W-17", "finding", "Clean head 3."),
                                       entry(2, "W-17", "cleaned", "Cleaned head 3."),
                                       entry(3, "W-17", "recheck", "Done: gone.", "close")};
  const std::string page = case_html(entries, kWhole, "1.2.3");
  const auto state = page.find("Done: gone.");
  EXPECT_LT(state, page.find("id=\"record-1\""));
  EXPECT_TRUE(holds(page, ">DONE</p>"));
  EXPECT_TRUE(holds(page, "2026-03-01 14:05:09 UTC"));
  EXPECT_TRUE(holds(page, "CHAIN WHOLE"));
  EXPECT_TRUE(holds(page, "--expect hash-3"));
  EXPECT_FALSE(holds(page, "not rechecked"));
}

TEST(CaseHtml, SaysThatNobodyLookedSinceACleaning) {
  const std::string page = case_html(
      {entry(1, "W-17", "finding", "Clean head 3."), entry(2, "W-17", "cleaned", "Cleaned head 3.")}, kWhole,
      "1");
  EXPECT_TRUE(holds(page, "Clean head 3. Cleaned since then, and not rechecked."));
}

TEST(CaseHtml, KeepsUnitsApart) {
  const std::string page =
      case_html({entry(1, "A", "note", "one"), entry(2, "B", "note", "two"), entry(3, "A", "note", "three")},
                kWhole, "1");
  EXPECT_TRUE(holds(page, "2 units, 3 records"));
  EXPECT_LT(page.find("three"), page.find("two"));  // A's records stand together
}

TEST(CaseHtml, ShoutsWhenTheChainIsBroken) {
  const std::string page =
      case_html({entry(1, "A", "note", "one")}, {1, 1, "its hash is not that of its fields", "x"}, "1");
  EXPECT_TRUE(holds(page, "CHAIN BROKEN"));
  EXPECT_TRUE(holds(page, "BROKEN at record 1: its hash is not that of its fields."));
  EXPECT_FALSE(holds(page, "CHAIN WHOLE"));
}

TEST(CaseHtml, EscapesAllThatPeopleWrite) {
  CaseEntry bad = entry(1, "<u>unit", "<k>", "<s>", "<o>");
  bad.who = "<w>";
  bad.at = "<time>";
  bad.layout = "<l>";
  bad.tool_version = "<v>";
  bad.hash = "<h>";
  const std::string page = case_html({bad}, {1, 1, "<why>", "<last>"}, "1");
  for (const char* raw :
       {"<u>unit", "<k>", "<s>", "<o>", "<O>", "<w>", "<time>", "<l>", "<v>", "<h>", "<why>", "<last>"})
    EXPECT_FALSE(holds(page, raw)) << raw;
}

TEST(CaseHtml, OfAnEmptyBookSaysSo) {
  EXPECT_TRUE(holds(case_html({}, {}, "1"), "No record"));
}

}  // namespace
}  // namespace scrapetrace::report
