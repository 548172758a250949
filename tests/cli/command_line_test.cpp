#include <gtest/gtest.h>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

const std::string& layout_file() {
  static const std::string path = source_path("geometry/hobdrel.toml");
  return path;
}

// Wrong usage: status 2, nothing on stdout, the reason on stderr.
void expect_refused(const std::vector<std::string>& arguments, std::string_view reason) {
  const Ran ran = run_tool(arguments);
  EXPECT_EQ(ran.status, 2) << reason;
  EXPECT_EQ(ran.out, "") << reason;
  EXPECT_TRUE(holds(ran.err, reason)) << ran.err;
  EXPECT_TRUE(holds(ran.err, "scrapetrace: ")) << ran.err;
}

TEST(CommandLine, HelpGoesToStdout) {
  const Ran ran = run_tool({"--help"});
  EXPECT_EQ(ran.status, 0);
  EXPECT_EQ(ran.err, "");
  for (const auto* command : {"locate", "layout", "simulate"}) EXPECT_TRUE(holds(ran.out, command));
}

TEST(CommandLine, EveryCommandHelpsWithAnExample) {
  for (const std::string command : {"locate", "layout", "simulate"}) {
    const Ran ran = run_tool({command, "--help"});
    EXPECT_EQ(ran.status, 0);
    EXPECT_TRUE(holds(ran.out, "Usage: scrapetrace " + command));
    EXPECT_TRUE(holds(ran.out, "Example:\n  scrapetrace " + command));
  }
}

TEST(CommandLine, HelpShowsTheDefaultsOfTheStructs) {
  EXPECT_TRUE(holds(run_tool({"locate", "--help"}).out, "--false-alarms RATE (=0.01)"));
  EXPECT_TRUE(holds(run_tool({"simulate", "--help"}).out, "--dpi N (=600)"));
}

TEST(CommandLine, VersionComesFirst) {
  const Ran ran = run_tool({"--version"});
  EXPECT_EQ(ran.status, 0);
  EXPECT_EQ(ran.out.find("scrapetrace " SCRAPETRACE_VERSION "\n"), 0U);
}

TEST(CommandLine, RefusesWhatItDoesNotKnow) {
  expect_refused({}, "no command given");
  expect_refused({"locat"}, "unknown command \"locat\". Did you mean \"locate\"?");
  expect_refused({"locate", "--layuot", "x"}, "unknown option \"--layuot\". Did you mean \"--layout\"?");
  expect_refused({"locate", "--lay", "x"}, "unknown option \"--lay\"");  // no guessing from a beginning
  expect_refused({"layout", "a.toml", "b.toml"}, "more files");
}

TEST(CommandLine, AnOptionDoesNotSwallowTheNext) {
  expect_refused({"locate", "--json", "--picture", "x.png", "a.tif"},
                 "option --json needs a value, but \"--picture\" follows it");
  expect_refused({"locate", "--layout"}, "'--layout' is missing");
}

TEST(CommandLine, RefusesWrongValues) {
  expect_refused({"locate", "--layout", layout_file(), "--dpi", "six", "a.tif"}, "--dpi");
  expect_refused({"locate", "--layout", layout_file(), "--dpi", "-600", "a.tif"}, "--dpi must lie between");
  expect_refused({"locate", "--layout", layout_file(), "--dpi", "nan", "a.tif"}, "--dpi must lie between");
  expect_refused({"locate", "--layout", layout_file(), "--false-alarms", "1", "a.tif"},
                 "--false-alarms must lie");
  expect_refused({"locate", "--layout", layout_file()}, "no scan given");
  expect_refused({"locate", "a.tif"}, "--layout is missing");
  expect_refused({"locate", "--layout", layout_file(), "a.tif", "./a.tif"}, "given twice");
}

TEST(CommandLine, RefusesFilesItCannotRead) {
  expect_refused({"layout", "no/such.toml"}, "no/such.toml: cannot be read: No such file");
  expect_refused({"layout", scratch()}, "is a folder");
  expect_refused({"locate", "--layout", source_path("fixtures/bad_layouts/empty_file.toml"), "a.tif"},
                 "empty_file.toml");
}

TEST(CommandLine, RefusesOutputsItCannotWrite) {
  expect_refused({"layout", layout_file(), "--svg", "/no/such/folder/a.svg"}, "does not exist");
  expect_refused({"layout", layout_file(), "--svg", "a.gif"}, ".svg or .png");
  expect_refused({"locate", "--layout", layout_file(), "--json", scratch(), "a.tif"}, "it is a folder");
}

TEST(CommandLine, BadLayoutsNameTheLine) {
  const Ran ran = run_tool({"layout", source_path("fixtures/bad_layouts/unknown_keys.toml")});
  EXPECT_EQ(ran.status, 2);
  EXPECT_TRUE(holds(ran.err, "unknown_keys.toml:")) << ran.err;
}

}  // namespace
}  // namespace scrapetrace::cli
