// Help, manual pages, completions and words, through the real binary. Pages are judged by groff, scripts by
// bash itself.
#include <gtest/gtest.h>

#include <cstdlib>
#include <fstream>
#include <regex>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

std::vector<std::string> command_names() {
  std::vector<std::string> out;
  const std::string help = run_tool({"--help"}).out;
  const std::regex line("\n  ([a-z]+) ");
  for (std::sregex_iterator it(help.begin(), help.end(), line); it != std::sregex_iterator(); ++it)
    out.push_back((*it)[1]);
  return out;
}

TEST(Manual, OfEveryCommandIsSoundAndListsItsOptions) {
  const auto names = command_names();
  ASSERT_GT(names.size(), 5U);
  for (const auto& name : names) {
    const Ran page = run_tool({"manual", name});
    ASSERT_EQ(page.status, 0) << name;
    EXPECT_TRUE(holds(page.out, ".SH EXAMPLE")) << name;
    const std::string file = scratch() + "/page.1";
    std::ofstream(file) << page.out;
    EXPECT_EQ(std::system(("test -z \"$(groff -ww -man -Tutf8 -z '" + file + "' 2>&1)\"").c_str()), 0)
        << name;
  }
  const std::string page = run_tool({"manual", "locate"}).out;
  for (const std::string option : {"layout", "html", "units", "false\\-alarms"})
    EXPECT_TRUE(holds(page, ".B \\-\\-" + option)) << option;
  EXPECT_TRUE(holds(page, "No metal on a faceplate"));
}

TEST(Completion, ForBashOffersCommandsOptionsAndChoices) {
  const std::string file = scratch() + "/completion.bash";
  std::ofstream(file) << run_tool({"completion", "bash"}).out;
  const auto offered = [&](const std::string& words, int at) {
    const std::string out = scratch() + "/offered";
    const std::string script = "source '" + file + "'; COMP_WORDS=(" + words +
                               "); COMP_CWORD=" + std::to_string(at) +
                               "; _scrapetrace; printf '%s ' \"${COMPREPLY[@]}\" > '" + out + "'";
    const std::string run = scratch() + "/run.bash";
    std::ofstream(run) << script;
    EXPECT_EQ(std::system(("bash '" + run + "'").c_str()), 0);
    return slurp(out);
  };
  EXPECT_EQ(offered("scrapetrace loc", 1), "locate ");
  EXPECT_EQ(offered("scrapetrace locate --ht", 2), "--html ");
  EXPECT_EQ(offered("scrapetrace locate --units i", 3), "inch ");
  EXPECT_EQ(offered("scrapetrace case ver", 2), "verify ");
  EXPECT_EQ(offered("scrapetrace case verify --exp", 3), "--expect ");
}

TEST(Completion, KnowsThreeShells) {
  EXPECT_TRUE(holds(run_tool({"completion", "zsh"}).out, "#compdef scrapetrace"));
  EXPECT_TRUE(holds(run_tool({"completion", "fish"}).out, "-l html -r -F"));
  EXPECT_EQ(run_tool({"completion", "abacus"}).status, 2);
}

TEST(Explain, KnowsWordsTheirOtherNamesAndNearMisses) {
  EXPECT_TRUE(holds(run_tool({"explain", "residue"}).out, "scrapes ink off"));
  EXPECT_EQ(run_tool({"explain", "Nozzle"}).out, run_tool({"explain", "jet"}).out);
  EXPECT_TRUE(holds(run_tool({"explain", "drum", "scratch"}).out, "drum scratch:"));
  const Ran wrong = run_tool({"explain", "faceplat"});
  EXPECT_EQ(wrong.status, 2);
  EXPECT_TRUE(holds(wrong.err, "Did you mean \"faceplate\"?"));
}

TEST(Explain, IsAnOptionToo) {
  EXPECT_EQ(run_tool({"--explain", "residue"}).out, run_tool({"explain", "residue"}).out);
  EXPECT_EQ(run_tool({"--explain", "nonsense"}).status, 2);
}

TEST(Options, OfEveryCommandAreNeverGuessedAndMeantWhenNear) {
  for (const auto& name : command_names()) {
    const Ran help = run_tool({name, "--help"});
    EXPECT_EQ(help.status, 0) << name;
    EXPECT_TRUE(holds(help.out, "Example:")) << name;
    EXPECT_TRUE(help.err.empty()) << name;
    for (const char* wrong : {"--hlep", "--hel"}) {
      const Ran ran = run_tool({name, wrong});
      EXPECT_EQ(ran.status, 2) << name;
      EXPECT_TRUE(ran.out.empty()) << name;
      EXPECT_TRUE(holds(ran.err, "Did you mean \"--help\"?")) << name << ": " << ran.err;
    }
  }
}

// A first word with help of its own shows an example that the command's help has too (where it is run), and
// only the options that go with it; the others are refused.
TEST(Options, OfAFirstWordAreItsOwn) {
  const std::vector<std::vector<std::string>> all{{"case", "add", "--expect"},    {"case", "show", "--scan"},
                                                  {"case", "export", "--weight"}, {"case", "verify", "--out"},
                                                  {"case", "priors", "--unit"},   {"layout", "fit", "--svg"}};
  for (const auto& words : all) {
    const Ran help = run_tool({words[0], words[1], "--help"});
    EXPECT_EQ(help.status, 0) << words[1];
    const std::string name = words[0] + ' ' + words[1];
    EXPECT_EQ(help.out.rfind("Usage: scrapetrace " + name + ' ', 0), 0U) << help.out;
    EXPECT_FALSE(holds(help.out, "  " + words[2])) << help.out;
    const auto at = help.out.find("  scrapetrace " + name);
    ASSERT_NE(at, std::string::npos) << help.out;
    const std::string example = help.out.substr(at, help.out.find('\n', at) - at + 1);
    EXPECT_TRUE(holds(run_tool({words[0], "--help"}).out, example)) << example;
    const Ran foreign = run_tool({words[0], words[1], words[2], "3"});
    EXPECT_EQ(foreign.status, 2);
    EXPECT_TRUE(holds(foreign.err, words[2] + " does not go with " + name + ". See scrapetrace " + name))
        << foreign.err;
  }
}

TEST(Options, BeforeAnyCommandAreMeantWhenNearToo) {
  const Ran ran = run_tool({"--versoin"});
  EXPECT_EQ(ran.status, 2);
  EXPECT_TRUE(holds(ran.err, "unknown option \"--versoin\". Did you mean \"--version\"?")) << ran.err;
  EXPECT_TRUE(holds(run_tool({"lokate"}).err, "Did you mean \"locate\"?"));
  EXPECT_TRUE(holds(run_tool({"layout", "fitt", "x"}).err, "Did you mean \"fit\"?"));
}

// A shell that is not there cannot judge: the test says so and is skipped.
TEST(Completion, ForZshIsSoundAndOffersCommandsAndOptions) {
  if (std::system("command -v zsh > /dev/null") != 0) GTEST_SKIP() << "zsh is not installed";
  const std::string file = scratch() + "/_scrapetrace";
  std::ofstream(file) << run_tool({"completion", "zsh"}).out;
  EXPECT_EQ(std::system(("zsh -n '" + file + "'").c_str()), 0);
  // The completion runs with _arguments and _describe replaced by ones that say what they were given.
  const std::string run = scratch() + "/run.zsh";
  const auto offered = [&](const std::string& words, int at) {
    std::ofstream(run)
        << "_arguments() { print -rl -- $@ }\n_describe() { print -rl -- ${(P)2} }\n_files() { : }\n"
        << "words=(" << words << ")\nCURRENT=" << at << "\nsource '" << file << "'\n";
    const std::string out = scratch() + "/zsh.out";
    EXPECT_EQ(std::system(("zsh -f '" + run + "' > '" + out + "'").c_str()), 0);
    return slurp(out);
  };
  EXPECT_TRUE(holds(offered("scrapetrace loc", 2), "locate:scans in"));
  const std::string options = offered("scrapetrace locate --", 3);
  EXPECT_TRUE(holds(options, "--html[the whole report")) << options;
  EXPECT_TRUE(holds(options, "--units[") && holds(options, ":value:(mm inch)")) << options;
}

TEST(Completion, ForFishIsSoundAndOffersCommandsOptionsAndChoices) {
  if (std::system("command -v fish > /dev/null") != 0) GTEST_SKIP() << "fish is not installed";
  const std::string file = scratch() + "/scrapetrace.fish";
  std::ofstream(file) << run_tool({"completion", "fish"}).out;
  EXPECT_EQ(std::system(("fish --no-execute '" + file + "'").c_str()), 0);
  const auto offered = [&](const std::string& line) {
    const std::string out = scratch() + "/fish.out";
    const std::string run = "HOME='" + scratch() + "' fish --no-config -c \"source '" + file +
                            "'; complete -C '" + line + "'\" > '" + out + "'";
    EXPECT_EQ(std::system(run.c_str()), 0);
    return slurp(out);
  };
  EXPECT_TRUE(holds(offered("scrapetrace loc"), "locate\t"));
  EXPECT_TRUE(holds(offered("scrapetrace locate --ht"), "--html"));
  EXPECT_TRUE(holds(offered("scrapetrace locate --units i"), "inch"));
}

TEST(Version, NamesTheLibraries) {
  const std::string out = run_tool({"--version"}).out;
  EXPECT_TRUE(holds(out, std::string("scrapetrace ") + SCRAPETRACE_VERSION + "\n"));
  EXPECT_TRUE(std::regex_search(out, std::regex("libvips 8\\.[0-9.]+\n")));
  EXPECT_TRUE(std::regex_search(out, std::regex("libtiff 4\\.[0-9.]+\n")));
  EXPECT_TRUE(std::regex_search(out, std::regex("libjpeg [0-9.]+\n")));
  EXPECT_TRUE(std::regex_search(out, std::regex("Boost 1\\.[0-9.]+\n")));
}

TEST(Help, ShowsTheCautionsWhereTheAnswerLeadsToAMachine) {
  EXPECT_TRUE(holds(run_tool({"locate", "--help"}).out, "CAUTION: before a cover comes off"));
  EXPECT_FALSE(holds(run_tool({"simulate", "--help"}).out, "CAUTION"));
}

// util-linux's script(1) gives the program a terminal.
TEST(Colour, OnlyOnATerminalAndNeverAgainstNoColor) {
  const std::string words = std::string(SCRAPETRACE_BINARY) + " locate --layout " +
                            source_path("geometry/tavvick.toml") + " /nowhere.png";
  const auto on_terminal = [&](const std::string& environment) {
    const std::string out = scratch() + "/typed";
    std::system(("env TERM=xterm " + environment + " script -qec '" + words + "' /dev/null > '" + out +
                 "' 2>&1 < /dev/null")
                    .c_str());
    return slurp(out);
  };
  EXPECT_TRUE(holds(on_terminal("COLUMNS=80"), "\033[1mCould not look"));
  EXPECT_TRUE(holds(on_terminal("NO_COLOR=1"), "Could not look"));
  EXPECT_FALSE(holds(on_terminal("NO_COLOR=1"), "\033["));
  EXPECT_FALSE(holds(
      run_tool({"locate", "--layout", source_path("geometry/tavvick.toml"), "/nowhere.png"}).out, "\033["));
}

}  // namespace
}  // namespace scrapetrace::cli
