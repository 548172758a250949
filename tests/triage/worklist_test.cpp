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
    work.put({name, "k", true, group, score, "{}"});
  EXPECT_EQ(order(work), (std::vector<std::string>{"c", "a", "d", "b"}));
}

TEST(Worklist, WhatIsDoneIsThereAgain) {
  const std::string path = fresh();
  {
    Worklist work(path, "s");
    work.put({"a", "key", true, 1, 0.5, "{\"x\":1}"});
    work.put({"c", "late", false, 1, 0.5, "{}"});
  }
  Worklist work(path, "s");
  EXPECT_TRUE(work.same_settings());
  EXPECT_EQ(work.key_of("a", true), "key");
  EXPECT_EQ(work.key_of("b", false), "");
  // Out of time or memory: judged, and not done.
  EXPECT_EQ(work.key_of("c", false), "late");
  EXPECT_EQ(work.key_of("c", true), "");
  EXPECT_EQ(work.settled_lines(), 1);
}

TEST(Worklist, OtherSettingsAreNoticed) {
  const std::string path = fresh();
  { Worklist work(path, "s"); }
  EXPECT_FALSE(Worklist(path, "t").same_settings());
}

TEST(Worklist, CasesNoLongerListedLoseTheirLine) {
  Worklist work(fresh(), "s");
  work.put({"old", "k", true, 0, 0, ""});
  work.put({"kept", "k", true, 0, 0, ""});
  work.begin_listing();
  work.list({"kept", "b.tif", Standing::found, ""});
  work.list({"kept", "a.tif", Standing::no_file, "is a link to nothing"});
  work.list({"new", "c.tif", Standing::named, ""});
  work.end_listing();
  EXPECT_EQ(order(work), std::vector<std::string>{"kept"});
  EXPECT_EQ(work.cases(), 2);
  EXPECT_EQ(work.next_after(""), "kept");
  EXPECT_EQ(work.next_after("kept"), "new");
  EXPECT_EQ(work.next_after("new"), std::nullopt);
  const auto inputs = work.inputs_of("kept");
  ASSERT_EQ(inputs.size(), 2U);
  EXPECT_EQ(inputs[0].file, "a.tif");
  EXPECT_EQ(inputs[0].standing, Standing::no_file);
  EXPECT_EQ(inputs[0].why, "is a link to nothing");
  EXPECT_EQ(inputs[1].standing, Standing::found);
}

TEST(Worklist, ASecondRunInTheSamePlaceIsRefused) {
  const std::string path = fresh();
  Worklist work(path, "s");
  work.put({"a", "k", true, 0, 0, ""});
  EXPECT_THROW(Worklist(path, "s"), store::StoreError);
}

}  // namespace
}  // namespace scrapetrace::triage
