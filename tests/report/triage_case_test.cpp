// A line of a triage: from findings, to JSON and back, and from somebody who means harm.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "report/html_page.h"
#include "report/sample.h"
#include "report/triage_report.h"

namespace scrapetrace::report {
namespace {

using Json = nlohmann::ordered_json;

TriageCase made() {
  TriageCase one;
  one.name = "unit <7>";
  one.key = std::string(64, 'a');
  one.tool_version = "1.0";
  one.layout_sha256 = std::string(64, 'b');
  const Findings findings = sample::findings();
  for (const auto& scan : findings.scans)
    one.scans.push_back({scan.file, std::string(64, 'c'), false, "", {}});
  one.copies = {{"a-2.png", "a-1.png"}};
  one.left_out = {{"notes.txt", "is text"}};
  one.report = "reports/unit.html";
  take_findings(findings, one);
  return one;
}

Json tree_of(const TriageCase& one) {
  return Json::parse(triage_line(one));
}

TEST(TriageCase, GoesThroughItsLineUnchanged) {
  const std::string line = triage_line(made());
  const auto again = triage_case_of(line, "f");
  ASSERT_TRUE(again.ok()) << to_string(again.problems().front());
  EXPECT_EQ(triage_line(*again), line);
  EXPECT_EQ(triage_row(*again, LengthUnit::mm), triage_row(*triage_case_of(line, "f"), LengthUnit::mm));
  EXPECT_NE(triage_sentence(*again).find("Left out: notes.txt is text."), std::string::npos);
}

// Two machines' scans in one folder: no place is named for either.
TEST(TriageCase, OfScansThatContradictEachOtherIsMixedAndNamesNoPlace) {
  Findings findings = sample::findings();
  TriageCase one = made();
  ASSERT_EQ(one.group, TriageGroup::clean);
  findings.scans.front().issues = {ScanIssue::other_sheet};
  one.target.reset();
  take_findings(findings, one);
  EXPECT_EQ(one.group, TriageGroup::mixed);
  EXPECT_FALSE(one.target.has_value());
  EXPECT_EQ(one.sentence.find("Mixed: "), 0U) << one.sentence;
  EXPECT_NE(one.sentence.find("contradict"), std::string::npos);
  EXPECT_EQ(tree_of(one)["group"], 0);
  EXPECT_EQ(tree_of(one)["answer"]["kind"], "mixed");
}

TEST(TriageCase, WithoutAScanSaysWhatCameInstead) {
  TriageCase one;
  one.name = "u";
  one.left_out = {{"u.zip", "is a ZIP archive"}, {"b", "is text"}, {"c", "is text"}, {"d", "is text"}};
  one.complete = false;
  take_findings({}, one);
  EXPECT_EQ(one.group, TriageGroup::no_scan);
  EXPECT_EQ(one.sentence, "Not a scan: u.zip is a ZIP archive; b is text; c is text; and 1 more.");
  EXPECT_NE(one.rescan.find("No scan came with u"), std::string::npos);
}

TEST(TriageCase, EveryInputIsCounted) {
  TriageCount count;
  count.add(made());
  TriageCase none;
  none.left_out = {{"u.zip", "is a ZIP archive"}};
  take_findings({}, none);
  count.add(none);
  EXPECT_EQ(count_sentence(count),
            "2 in: 1 case judged, 1 not: 1 without a scan. Left out of cases that have scans: 1 copy, 1 "
            "input that is "
            "no scan.");
}

// What a part of somebody else's may say is held against what ours say.
TEST(TriageCase, OutOfBoundsIsRefusedByItsName) {
  const auto refused = [](const char* pointer, const Json& value) {
    Json tree = tree_of(made());
    tree[Json::json_pointer(pointer)] = value;
    const auto read = triage_case_of(tree.dump(), "f");
    return read.ok() ? std::string("taken") : read.problems().front().what;
  };
  for (const auto& [pointer, value] :
       std::vector<std::pair<const char*, Json>>{{"/group", 99},
                                                 {"/group", 2},
                                                 {"/group", -1},
                                                 {"/group", "1"},
                                                 {"/score", -1},
                                                 {"/score", 1e300},
                                                 {"/streaks", 18446744073709551615U},
                                                 {"/unchecked", 0.5},
                                                 {"/key", "short"},
                                                 {"/key", std::string(64, 'G')},
                                                 {"/case", ""},
                                                 {"/case", std::string("a\0b", 3)},
                                                 {"/schema", "scrapetrace.triage/1"},
                                                 {"/answer/kind", "<script>"},
                                                 {"/answer/sentence", 7},
                                                 {"/target", nullptr},
                                                 {"/target/probability", 1.5},
                                                 {"/target/side", "<b>"},
                                                 {"/worst_streak/cause", "magic"},
                                                 {"/scans/0/verdict", "fine"},
                                                 {"/scans/0/sha256", "x"},
                                                 {"/scans", "none"},
                                                 {"/scans/0/reasons", Json::array({1})},
                                                 {"/copies", Json::array({1})},
                                                 {"/left_out", nullptr},
                                                 {"/settled", 1},
                                                 {"/report", nullptr}}) {
    const std::string what = refused(pointer, value);
    EXPECT_NE(what.find("is not what a triage of this version writes"), std::string::npos) << pointer << what;
  }
  EXPECT_FALSE(triage_case_of("", "f").ok());
  EXPECT_FALSE(triage_case_of("[]", "f").ok());
  EXPECT_FALSE(triage_case_of(std::string(100000, '['), "f").ok());
}

TEST(TriageCase, WordsOfOthersAreEscapedWhereverTheyGo) {
  Json tree = tree_of(made());
  const std::string bad = "<script>alert(1)</script>\x1b]0;x\x07\xE2\x80\xAE\"'&";
  tree["case"] = bad;
  tree["answer"]["sentence"] = bad;
  tree["rescan"] = bad;
  tree["scans"][0]["file"] = bad;
  tree["copies"][0]["same_as"] = bad;
  tree["left_out"][0]["reason"] = bad;
  tree["report"] = "javascript:alert(1)\"><script>";
  const auto one = triage_case_of(tree.dump(), "f");
  ASSERT_TRUE(one.ok());
  const std::string row = triage_row(*one, LengthUnit::mm);
  EXPECT_EQ(row.find("<script"), std::string::npos) << row;
  EXPECT_EQ((row + triage_sentence(*one)).find('\x1b'), std::string::npos);
  EXPECT_EQ((row + triage_sentence(*one)).find("\xE2\x80\xAE"), std::string::npos);
  EXPECT_NE(triage_sentence(*one).find("\\x1B]0;x\\x07"), std::string::npos);
}

TEST(TriagePart, GoesThroughItsJsonAndNoFurther) {
  const TriagePart part{"3/8", std::string(64, 'a'), 17, std::string(64, 'b')};
  const auto again = triage_part_of(triage_part_json(part), "f");
  ASSERT_TRUE(again.ok());
  EXPECT_EQ(again->part, "3/8");
  EXPECT_EQ(again->cases, 17);
  EXPECT_FALSE(triage_part_of("{}", "f").ok());
  EXPECT_FALSE(triage_part_of(R"({"schema":"scrapetrace.triage-part/1","part":1})", "f").ok());
}

TEST(HandedOnPages, AreThoseThatCanDoNothing) {
  HtmlPage page;
  page.title = "A<b>";
  const std::string ours = html_page(page);
  EXPECT_TRUE(is_our_page(ours));
  EXPECT_FALSE(is_our_page(""));
  EXPECT_FALSE(is_our_page("<!DOCTYPE html><script>alert(1)</script>"));
  const auto replaced = [&](const std::string& from, const std::string& to) {
    std::string out = ours;
    return out.replace(out.find(from), from.size(), to);
  };
  EXPECT_FALSE(is_our_page(replaced("default-src 'none'", "default-src *")));
  EXPECT_FALSE(is_our_page(replaced("style-src 'sha256-", "style-src 'x'; script-src 'sha256-")));
  EXPECT_FALSE(is_our_page(replaced("</body>", "<META http-equiv=refresh content='0;url=//x'></body>")));
  EXPECT_FALSE(is_our_page("<script>alert(1)</script>" + ours));
}

}  // namespace
}  // namespace scrapetrace::report
