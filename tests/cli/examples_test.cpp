// Every example really runs: those of --help, and those of the documents' ```sh blocks, in a folder that
// holds what they name.
#include <gtest/gtest.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

namespace fs = std::filesystem;
using Words = std::vector<std::string>;

// Runs a line as a shell would, in `folder`; the program is the first thing on the PATH.
int run_line(const std::string& folder, const std::string& line, std::string& said) {
  const std::string script = scratch() + "/line.sh";
  std::ofstream(script) << "export HOME='" << folder << "' PATH='" << folder << "/bin':\"$PATH\"\ncd '"
                        << folder << "' || exit 99\n"
                        << line << '\n';
  const std::string out = scratch() + "/line.out";
  const int status = std::system(("bash '" + script + "' > '" + out + "' 2>&1 < /dev/null").c_str());
  said = slurp(out);
  return WEXITSTATUS(status);
}

void print_sheet(const std::string& file, const std::string& seed, const Words& more = {}) {
  Words words{"simulate",
              "--layout",
              source_path("geometry/hobdrel.toml"),
              "--chart",
              source_path("geometry/charts/hobdrel_bands.toml"),
              "--dpi",
              "200",
              "--seed",
              seed,
              "--out",
              file};
  words.insert(words.end(), more.begin(), more.end());
  const Ran ran = run_tool(words);
  EXPECT_EQ(ran.status, 0) << ran.err;
}

// What the examples of help and documents name: scans of Hobdrel, its files, an inbox, a JSON of a finding.
std::string workshop() {
  const std::string folder = scratch() + "/workshop";
  fs::remove_all(folder);
  fs::create_directories(folder + "/bin");
  fs::create_directories(folder + "/inbox");
  fs::create_directories(folder + "/.local/share/bash-completion/completions");
  fs::create_symlink(SCRAPETRACE_BINARY, folder + "/bin/scrapetrace");
  for (const char* part : {"geometry", "fixtures"})
    fs::create_symlink(source_path(part), folder + "/" + part);
  print_sheet(folder + "/monday.tif", "1", {"--residue", "3:left:faceplate:2.5"});
  print_sheet(folder + "/tuesday.tif", "2");
  fs::copy_file(folder + "/monday.tif", folder + "/scan.tif");
  fs::copy_file(folder + "/monday.tif", folder + "/inbox/unit07-1.tif");
  fs::create_directories(folder + "/out");
  fs::copy_file(folder + "/monday.tif", folder + "/out/bench-1-residue.tif");  // .ci/demo leaves it there
  const Ran found = run_tool({"locate", "--layout", source_path("geometry/hobdrel.toml"), "--chart",
                              source_path("geometry/charts/hobdrel_bands.toml"), "--json",
                              folder + "/monday.json", folder + "/monday.tif"});
  EXPECT_EQ(found.status, 0) << found.err;
  return folder;
}

std::vector<std::string> examples_of_help(const std::string& command) {
  std::istringstream help(run_tool({command, "--help"}).out);
  std::vector<std::string> out;
  bool inside = false;
  for (std::string line; std::getline(help, line);) {
    if (line == "Example:") {
      inside = true;
    } else if (inside && line.rfind("  scrapetrace ", 0) == 0) {
      out.push_back(line.substr(2));
    } else {
      inside = false;
    }
  }
  return out;
}

TEST(Examples, OfEveryHelpRun) {
  const std::string folder = workshop();
  const std::set<std::string> may_fail_limits{"accept"};
  for (const char* command : {"locate", "recheck", "accept", "triage", "case", "layout", "page", "explain",
                              "manual", "completion", "simulate"}) {
    const auto examples = examples_of_help(command);
    ASSERT_FALSE(examples.empty()) << command;
    for (std::string line : examples) {
      if (std::string(command) == "simulate") line += " --force --dpi 150";
      std::string said;
      const int status = run_line(folder, line, said);
      EXPECT_EQ(status, may_fail_limits.count(command) > 0 ? 3 : 0) << line << '\n' << said;
    }
  }
}

// Blocks that show output, files or other programs are no examples; those that begin with the program are.
std::vector<std::string> commands_in(const std::string& document) {
  std::istringstream lines(slurp(source_path(document)));
  std::vector<std::string> out;
  std::string command;
  bool inside = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.rfind("```", 0) == 0) {
      inside = line == "```sh";
      continue;
    }
    if (!inside) continue;
    const bool goes_on = !line.empty() && line.back() == '\\';
    command += goes_on ? line.substr(0, line.size() - 1) : line;
    if (goes_on) continue;
    if (command.rfind("scrapetrace ", 0) == 0) out.push_back(command);
    command.clear();
  }
  return out;
}

TEST(Examples, OfTheDocumentsRun) {
  const std::string folder = workshop();
  std::size_t seen = 0;
  for (const char* document : {"README.md", "docs/quick-start.md"}) {
    for (std::string line : commands_in(document)) {
      if (line.rfind("scrapetrace simulate", 0) == 0) line += " --dpi 200";  // the same, in less time
      std::string said;
      const int status = run_line(folder, line, said);
      const bool verdict = line.rfind("scrapetrace accept", 0) == 0;
      EXPECT_EQ(status, verdict ? 3 : 0) << document << ": " << line << '\n' << said;
      ++seen;
    }
  }
  EXPECT_GE(seen, 8U);
}

// The jets that docs/layout-fit.md switches off, on the machine that it starts from.
TEST(Examples, OfLayoutFitRun) {
  const std::string folder = scratch() + "/fit";
  fs::remove_all(folder);
  fs::create_directories(folder + "/bin");
  fs::create_symlink(SCRAPETRACE_BINARY, folder + "/bin/scrapetrace");
  fs::copy_file(source_path("geometry/hobdrel.toml"), folder + "/start.toml");
  fs::copy_file(source_path("geometry/charts/hobdrel_bands.toml"), folder + "/bands.toml");
  const auto commands = commands_in("docs/layout-fit.md");
  ASSERT_EQ(commands.size(), 1U);
  std::ofstream scenario(folder + "/off.toml");
  scenario << "schema = \"scrapetrace.scenario/1\"\n";
  std::istringstream words(commands.front());
  for (std::string word; words >> word;) {
    const auto colon = word.find(':');
    if (colon == 1) {
      scenario << "[[jet]]\nhead = \"" << word.substr(0, 1) << "\"\nink = \"black\"\njet = " << word.substr(2)
               << '\n';
    }
  }
  scenario.close();
  print_sheet(folder + "/scan.tif", "3", {"--scenario", folder + "/off.toml"});
  std::string said;
  EXPECT_EQ(run_line(folder, commands.front(), said), 0) << said;
  EXPECT_EQ(run_tool({"layout", folder + "/fitted.toml"}).status, 0) << said;
}

}  // namespace
}  // namespace scrapetrace::cli
