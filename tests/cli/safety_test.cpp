// Nobody is told to scrape among the jets, and whoever is sent to a head reads the cautions first: through
// the real binary.
#include <gtest/gtest.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;
using Words = std::vector<std::string>;

const Words kMachine{"--layout", source_path("geometry/tavvick.toml"), "--chart",
                     source_path("fixtures/charts/tavvick_strip.toml")};

Ran run(const std::string& command, const Words& more) {
  Words words{command};
  words.insert(words.end(), kMachine.begin(), kMachine.end());
  words.insert(words.end(), more.begin(), more.end());
  return run_tool(words);
}

std::string sheet(const std::string& name, const std::string& residue) {
  std::string file = scratch() + "/" + name;
  const Ran ran = run("simulate", {"--residue", residue, "--dpi", "300", "--force", "--out", file});
  EXPECT_EQ(ran.status, 0) << ran.err;
  return file;
}

bool holds(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

// Residue on the faceplate, 3 mm inward of the outermost jet.
TEST(Safety, ATargetAmongTheJetsIsMarkedAsNotToBeScraped) {
  const std::string scan = sheet("among.png", "2:left:faceplate:-3");
  const Ran text = run("locate", {scan});
  ASSERT_TRUE(holds(text.out, "Likeliest: head 2, left side, faceplate")) << text.out;
  EXPECT_TRUE(holds(text.out, "among the jets: never scrape there"));
  EXPECT_TRUE(holds(text.out, "Do not scrape head 2"));
  EXPECT_FALSE(holds(text.out, "Take it off"));
  EXPECT_FALSE(holds(text.out, "Clean head 2"));
  const Ran json = run("locate", {"--json", "-", scan});
  EXPECT_TRUE(Json::parse(json.out)["targets"][0]["over_jets"]);
  const Ran page = run("locate", {"--html", "-", scan});
  EXPECT_TRUE(holds(page.out, ">NOT TO BE SCRAPED</p>"));
  EXPECT_TRUE(holds(page.out, "Among the jets: not to be scraped, ever."));
  const Ran again = run("recheck", {"--before", scan, "--after", sheet("among2.png", "2:left:faceplate:-2.8"),
                                    "--cleaned", "2:left:faceplate"});
  EXPECT_TRUE(holds(again.out, "among the jets: never scrape there")) << again.out;
  EXPECT_FALSE(holds(again.out, "Take it off"));
}

TEST(Safety, CautionsStandWhereverSomebodyIsSentToAHead) {
  const std::string scan = sheet("beside.png", "3:left:faceplate:1");
  const std::string inbox = scratch() + "/safety_inbox";
  fs::create_directories(inbox);
  fs::copy_file(scan, inbox + "/u1-1.png", fs::copy_options::overwrite_existing);
  const std::string desk = scratch() + "/safety_desk";
  const std::string book = scratch() + "/safety.sqlite";
  fs::remove(book);
  const Ran triage = run("triage", {"--out", desk, "--force", inbox});
  ASSERT_EQ(triage.status, 0) << triage.err;
  ASSERT_EQ(run_tool({"case", "add", "--book", book, "--unit", "u", "--who", "w", "--note", "n"}).status, 0);
  const std::string caution = "the machine's service documentation and local rules come before this text";
  for (const auto& text :
       {run("locate", {scan}).out, run("locate", {"--html", "-", scan}).out,
        run("recheck", {"--before", scan, "--after", scan + "x", "--cleaned", "3:left", "--help"}).out,
        triage.out, slurp(desk + "/overview.html"),
        run_tool({"case", "export", "--book", book, "--format", "html"}).out,
        run_tool({"manual", "locate"}).out}) {
    EXPECT_TRUE(holds(text, caution)) << text.substr(0, 300);
  }
  for (const char* document : {"README.md", "docs/safety.md"}) {
    const std::string text = slurp(source_path(document));
    for (const char* part : {"trained", "isolate", "hot", "move", "Gloves", "eye protection", "No metal",
                             "Stay off", "local rules", "documentation"})
      EXPECT_TRUE(holds(text, part) || holds(text, std::string(1, static_cast<char>(std::tolower(part[0]))) +
                                                       std::string(part + 1)))
          << document << ": " << part;
  }
}

}  // namespace
}  // namespace scrapetrace::cli
