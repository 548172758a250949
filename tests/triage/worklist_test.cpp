#include "triage/worklist.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>

namespace scrapetrace::triage {
namespace {

std::string fresh() {
  const std::string path = testing::TempDir() + "/worklist" + std::to_string(getpid()) + ".sqlite";
  std::filesystem::remove(path);
  return path;
}

std::vector<std::string> order(Worklist& work) {
  std::vector<std::string> names;
  work.each_line([&](const Line& line) { names.push_back(line.name); });
  return names;
}

TEST(Worklist, LinesComeByGroupThenScoreThenName) {
  Worklist work(fresh(), "s");
  for (const auto& [name, group, score] :
       {std::tuple{"d", 0, 0.1}, {"c", 0, 0.9}, {"b", 4, 5.0}, {"a", 0, 0.1}})
    work.put({name, "k", group, score, false, "{}", "", ""});
  EXPECT_EQ(order(work), (std::vector<std::string>{"c", "a", "d", "b"}));
}

TEST(Worklist, WhatIsDoneIsThereAgain) {
  const std::string path = fresh();
  {
    Worklist work(path, "s");
    work.put({"a", "key", 1, 0.5, true, "{\"x\":1}", "<tr>", "a: b"});
  }
  Worklist work(path, "s");
  EXPECT_TRUE(work.same_settings());
  EXPECT_EQ(work.key_of("a"), "key");
  EXPECT_EQ(work.key_of("b"), "");
}

TEST(Worklist, OtherSettingsAreNoticed) {
  const std::string path = fresh();
  { Worklist work(path, "s"); }
  EXPECT_FALSE(Worklist(path, "t").same_settings());
}

TEST(Worklist, CasesNoLongerListedLoseTheirLine) {
  Worklist work(fresh(), "s");
  work.put({"old", "k", 0, 0, false, "", "", ""});
  work.put({"kept", "k", 0, 0, false, "", "", ""});
  work.begin_listing();
  work.list("kept", "b.tif");
  work.list("kept", "a.tif");
  work.list("new", "c.tif");
  work.end_listing();
  EXPECT_EQ(order(work), std::vector<std::string>{"kept"});
  EXPECT_EQ(work.cases(), 2);
  EXPECT_EQ(work.next_after(""), "kept");
  EXPECT_EQ(work.next_after("kept"), "new");
  EXPECT_EQ(work.next_after("new"), std::nullopt);
  EXPECT_EQ(work.files_of("kept"), (std::vector<std::string>{"a.tif", "b.tif"}));
}

TEST(Worklist, ASecondRunInTheSamePlaceIsRefused) {
  const std::string path = fresh();
  Worklist work(path, "s");
  work.put({"a", "k", 0, 0, false, "", "", ""});
  EXPECT_THROW(Worklist(path, "s"), store::StoreError);
}

}  // namespace
}  // namespace scrapetrace::triage
