// A day at each desk, through the real binary: the technician, the support desk, quality assurance.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>
#include <thread>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

using Json = nlohmann::json;
namespace fs = std::filesystem;
using Words = std::vector<std::string>;

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");

Words with_machine(const std::string& command, const Words& more) {
  Words words{command, "--layout", kLayout, "--chart", kChart};
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

// A short sheet at 300 dpi.
void print_sheet(const std::string& file, int seed, const Words& more = {}) {
  Words words{"--dpi", "300", "--seed", std::to_string(seed), "--threads", "1", "--out", file};
  words.insert(words.end(), more.begin(), more.end());
  const Ran ran = run_tool(with_machine("simulate", words));
  ASSERT_EQ(ran.status, 0) << ran.err;
}

// By python3-jsonschema, against docs/schema.
bool valid(const std::string& schema, const std::string& file) {
  return std::system(("/usr/bin/python3 " + source_path("tests/cli/validate.py") + " " + schema + " " + file)
                         .c_str()) == 0;
}

std::string fresh_folder(const std::string& name) {
  const std::string folder = scratch() + "/" + name;
  fs::remove_all(folder);
  fs::create_directories(folder);
  return folder;
}

TEST(Story, TheTechnicianFromFirstScanToAClosedRecord) {
  const std::string folder = fresh_folder("technician");
  const std::string book = folder + "/workshop.sqlite";
  const auto file = [&](const std::string& name) { return folder + "/" + name; };
  const auto add = [&](const Words& more) {
    Words words{"case",  "add",        "--book",   book,    "--unit",  "W-17",
                "--who", "Ona Tervik", "--layout", kLayout, "--chart", kChart};
    words.insert(words.end(), more.begin(), more.end());
    const Ran ran = run_tool(words);
    EXPECT_EQ(ran.status, 0) << ran.err;
  };

  print_sheet(file("monday-1.png"), 1, {"--residue", "3:left:faceplate:1"});
  print_sheet(file("monday-2.png"), 2, {"--residue", "3:left:faceplate:1"});
  const Ran first = run_tool(
      with_machine("locate", {"--json", file("monday.json"), file("monday-1.png"), file("monday-2.png")}));
  EXPECT_EQ(first.status, 0) << first.err;
  EXPECT_EQ(first.out.substr(0, 24), "Clean head 3, left side,");
  add({"--scan", file("monday-1.png"), file("monday-2.png"), "--finding", file("monday.json"), "--cleaned",
       "3:left:faceplate"});

  // The first cleaning leaves a third of it.
  std::ofstream(file("weak.toml"))
      << "schema = \"scrapetrace.scenario/1\"\n[[residue]]\nhead = \"3\"\nside = \"left\"\n"
         "surface = \"faceplate\"\noutward_mm = 1.0\ncontact = \"upstream\"\nwidth_mm = 1.5\n"
         "loss = 0.05\n";
  print_sheet(file("noon.png"), 3, {"--scenario", file("weak.toml")});
  const auto recheck = [&](const std::string& after, const std::string& json) {
    return run_tool(
        with_machine("recheck", {"--before", file("monday-1.png"), file("monday-2.png"), "--after", after,
                                 "--cleaned", "3:left:faceplate", "--json", json}));
  };
  const Ran second = recheck(file("noon.png"), file("noon.json"));
  EXPECT_EQ(second.status, 0) << second.err;
  EXPECT_NE(second.out.find("again"), std::string::npos) << second.out;
  EXPECT_NE(second.out.find("CAUTION"), std::string::npos);
  const Json noon = Json::parse(slurp(file("noon.json")));
  EXPECT_EQ(noon["next"]["step"], "clean_again");
  ASSERT_EQ(noon["changes"].size(), 1U);
  EXPECT_EQ(noon["changes"][0]["change"], "fainter");
  EXPECT_GT(noon["changes"][0]["fainter_by"], 0.5);
  EXPECT_LT(noon["changes"][0]["fainter_by"], 0.8);
  add({"--recheck", file("noon.json"), "--cleaned", "3:left:faceplate"});

  // The second one takes the rest, but loosened ink shows at first.
  std::ofstream(file("haze.toml"))
      << "schema = \"scrapetrace.scenario/1\"\n[[haze]]\nx_drum_mm = 80.0\nwidth_mm = 6.0\n"
         "density = 0.05\n";
  print_sheet(file("hazy.png"), 4, {"--scenario", file("haze.toml")});
  recheck(file("hazy.png"), file("hazy.json"));
  EXPECT_EQ(Json::parse(slurp(file("hazy.json")))["next"]["step"], "print_on");

  print_sheet(file("evening.png"), 5);
  const Ran third = recheck(file("evening.png"), file("evening.json"));
  EXPECT_EQ(third.out.substr(0, 5), "Done:") << third.out;
  EXPECT_EQ(Json::parse(slurp(file("evening.json")))["changes"][0]["change"], "gone");
  for (const auto* json : {"noon.json", "hazy.json", "evening.json"})
    EXPECT_TRUE(valid("recheck", file(json)));
  add({"--scan", file("evening.png"), "--recheck", file("evening.json"), "--note", "=closed, \"all\" well"});

  const Ran verified = run_tool({"case", "verify", "--book", book});
  EXPECT_EQ(verified.status, 0) << verified.err;
  EXPECT_NE(verified.out.find("Whole: 9 records"), std::string::npos) << verified.out;
  const Ran shown = run_tool({"case", "show", "--book", book, "--unit", "W-17"});
  EXPECT_NE(shown.out.find("Cleaned head 3, left side, faceplate."), std::string::npos) << shown.out;

  const Ran exported = run_tool({"case", "export", "--book", book});
  const Json records = Json::parse(exported.out)["records"];
  ASSERT_EQ(records.size(), 9U);
  EXPECT_EQ(records[0]["kind"], "scan");
  EXPECT_FALSE(records[0]["picture_png_base64"].is_null());
  EXPECT_EQ(records[7]["body"]["schema"], "scrapetrace.recheck/1");
  std::ofstream(file("book.json")) << exported.out;
  EXPECT_TRUE(valid("casebook", file("book.json")));
  const Ran csv = run_tool({"case", "export", "--book", book, "--format", "csv"});
  EXPECT_NE(csv.out.find("\"'=closed, \"\"all\"\" well\""), std::string::npos) << csv.out;
  EXPECT_EQ(
      run_tool({"case", "export", "--book", book, "--format", "html", "--out", file("book.html")}).status, 0);
  EXPECT_NE(slurp(file("book.html")).find("Ona Tervik"), std::string::npos);

  // Only the cleaning that the last recheck closed counts.
  const Ran priors = run_tool({"case", "priors", "--book", book, "--layout", kLayout});
  EXPECT_EQ(priors.status, 0) << priors.err;
  EXPECT_NE(priors.out.find("after 1 closed case;"), std::string::npos) << priors.out;
  EXPECT_NE(priors.out.find("prior = 0.4545"), std::string::npos) << priors.out;  // (10 * 0.4 + 1) / 11
}

// Two sheets of each state. A cleaning that only shoved the residue outward, by 2.5 mm: on the drum that is
// to the left (a left side, not rotated), and mirrored on the sheet to the right.
TEST(Story, ACleaningThatOnlyMovedTheResidue) {
  const std::string folder = fresh_folder("moved");
  const auto file = [&](const std::string& name) { return folder + "/" + name; };
  std::ofstream(file("moved.toml"))
      << "schema = \"scrapetrace.scenario/1\"\n[[residue]]\nhead = \"3\"\nside = \"left\"\n"
         "surface = \"faceplate\"\noutward_mm = 3.5\ncontact = \"upstream\"\nwidth_mm = 1.5\n"
         "loss = 0.15\n";
  for (const int sheet : {1, 2}) {
    const std::string number = std::to_string(sheet);
    print_sheet(file("before" + number + ".png"), sheet, {"--residue", "3:left:faceplate:1"});
    print_sheet(file("after" + number + ".png"), 20 + sheet, {"--scenario", file("moved.toml")});
  }
  const Ran ran =
      run_tool(with_machine("recheck", {"--before", file("before1.png"), file("before2.png"), "--after",
                                        file("after1.png"), file("after2.png"), "--cleaned", "3:left",
                                        "--json", file("moved.json"), "--html", file("moved.html")}));
  ASSERT_EQ(ran.status, 0) << ran.err;
  EXPECT_NE(ran.out.find(" has moved 2.5"), std::string::npos) << ran.out;
  EXPECT_TRUE(valid("recheck", file("moved.json")));
  const Json found = Json::parse(slurp(file("moved.json")));
  fs::copy_file(file("before1.png"), file("copied.png"));
  const Ran copied = run_tool(with_machine(
      "recheck", {"--before", file("before1.png"), "--after", file("copied.png"), "--cleaned", "3:left"}));
  EXPECT_EQ(copied.status, 2) << copied.out;
  EXPECT_NE(copied.err.find("copied.png: holds the same bytes as "), std::string::npos) << copied.err;
  std::ofstream(file("empty.png"));
  const Ran empty = run_tool(with_machine(
      "recheck", {"--before", file("empty.png"), "--after", file("after1.png"), "--cleaned", "3:left"}));
  EXPECT_EQ(empty.status, 1);
  const std::string said = std::regex_replace(empty.out, std::regex("\n +"), " ");
  EXPECT_NE(said.find("1. " + file("empty.png") + ": the file is empty"), std::string::npos) << said;
  EXPECT_EQ(found["quality_before"].size(), 2U);
  EXPECT_EQ(found["quality_after"].size(), 2U);
  ASSERT_EQ(found["changes"].size(), 1U) << found["changes"];
  const Json change = found["changes"][0];
  EXPECT_EQ(change["change"], "moved");
  EXPECT_NEAR(change["moved_mm"], -2.5, 3 * change["moved_sigma_mm"].get<double>());
  EXPECT_LT(change["moved_sigma_mm"], 0.2);
  EXPECT_EQ(found["next"]["step"], "clean_again");
  EXPECT_EQ(found["targets"][0]["head"], "3");
  char now[64];
  std::snprintf(now, sizeof now, "now at %.1f mm from the left",
                change["x_sheet_mm"].get<double>() - change["moved_mm"].get<double>());
  EXPECT_NE(slurp(file("moved.html")).find(now), std::string::npos) << now;
}

// ---- The desk --------------------------------------------------------------------------------------------

constexpr int kCases = 200;

std::string unit(int number) {
  return "unit" + std::to_string(1000 + number).substr(1);
}

// Some sheets of each sort, printed once; cases hold copies with a few bytes of their own, so that no two
// files are alike. Every tenth case is broken in one of four ways.
void fill_inbox(const std::string& inbox) {
  const std::string stock = fresh_folder("stock");
  print_sheet(stock + "/left.png", 11, {"--residue", "3:left:faceplate:1"});
  print_sheet(stock + "/right.png", 12, {"--residue", "2:right:faceplate:2"});
  print_sheet(stock + "/clean.png", 13);
  std::ofstream(stock + "/jet.toml")
      << "schema = \"scrapetrace.scenario/1\"\n[[jet]]\nhead = \"4\"\nink = \"black\"\njet = 20\n";
  print_sheet(stock + "/jet.png", 14, {"--scenario", stock + "/jet.toml"});
  const std::vector<std::string> sorts{"left", "clean", "right", "jet", "clean"};
  for (int i = 0; i < kCases; ++i) {
    const std::string bytes = slurp(stock + "/" + sorts[static_cast<std::size_t>(i) % sorts.size()] + ".png");
    const std::string mine = bytes + "unit " + std::to_string(i);  // behind the picture's end
    std::ofstream out(inbox + "/" + unit(i) + "-1.png", std::ios::binary);
    if (i % 10 != 9) {
      out << mine;
    } else if (i % 40 == 9) {
      out << bytes.substr(0, bytes.size() / 3 + static_cast<std::size_t>(i));
    } else if (i % 40 == 19) {
      out << "this is no picture " << i;
    } else if (i % 40 == 29) {
      out << std::string(1000, '\0') << i;
    }  // else: empty
  }
}

Words triage(const std::string& inbox, const std::string& out, const std::string& jobs) {
  return with_machine("triage", {"--out", out, "--jobs", jobs, inbox});
}

// Starts the tool and kills it once it has written `reports` of them; false when it ended before.
bool kill_after(const Words& arguments, const std::string& reports, std::size_t number) {
  Words words{SCRAPETRACE_BINARY};
  words.insert(words.end(), arguments.begin(), arguments.end());
  const pid_t child = fork();
  if (child == 0) {
    std::vector<char*> argv;
    for (auto& word : words) argv.push_back(word.data());
    argv.push_back(nullptr);
    dup2(open("/dev/null", O_WRONLY), STDOUT_FILENO);
    execv(argv[0], argv.data());
    _exit(127);
  }
  int status = 0;
  while (waitpid(child, &status, WNOHANG) == 0) {
    std::error_code none_yet;
    const auto begin = fs::directory_iterator(reports, none_yet);
    if (!none_yet && static_cast<std::size_t>(std::distance(begin, fs::directory_iterator())) >= number) {
      kill(child, SIGKILL);
      waitpid(child, &status, 0);
      return WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL;
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(5));
  }
  return false;
}

std::map<std::string, std::string> contents(const std::string& folder) {
  std::map<std::string, std::string> out;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    if (entry.is_regular_file() && entry.path().filename() != "triage.sqlite")
      out[fs::relative(entry.path(), folder).string()] = slurp(entry.path().string());
  }
  return out;
}

TEST(Story, TheDeskOverManyCasesKilledTwice) {
  const std::string inbox = fresh_folder("inbox");
  fill_inbox(inbox);
  const std::string calm = scratch() + "/calm";
  const std::string killed = scratch() + "/killed";
  fs::remove_all(calm);
  fs::remove_all(killed);

  const Ran ran = run_tool(triage(inbox, calm, "1"));
  EXPECT_EQ(ran.status, 1) << ran.err;  // some scans could not be analysed
  ASSERT_TRUE(kill_after(triage(inbox, killed, "2"), killed + "/reports", 40));
  ASSERT_FALSE(fs::exists(killed + "/cases.jsonl"));
  ASSERT_TRUE(kill_after(triage(inbox, killed, "2"), killed + "/reports", 110));
  EXPECT_EQ(run_tool(triage(inbox, killed, "2")).status, 1);
  const auto expected = contents(calm);
  const auto found = contents(killed);
  ASSERT_EQ(found.size(), expected.size());
  for (const auto& [name, bytes] : expected) {
    ASSERT_TRUE(found.count(name)) << name;
    EXPECT_TRUE(found.at(name) == bytes) << name << " differs";
  }

  EXPECT_TRUE(valid("triage", calm + "/cases.jsonl"));
  std::istringstream lines(slurp(calm + "/cases.jsonl"));
  std::set<std::string> cases;
  int rescans = 0;
  std::pair<int, double> last{0, 1e9};
  for (std::string text; std::getline(lines, text);) {
    const Json line = Json::parse(text);
    EXPECT_TRUE(cases.insert(line["case"]).second) << "twice: " << line["case"];
    const std::pair<int, double> rank{line["group"], line["score"]};
    EXPECT_TRUE(rank.first > last.first || (rank.first == last.first && rank.second <= last.second));
    last = rank;
    const int number = std::stoi(line["case"].get<std::string>().substr(4));
    if (number % 10 == 9) {
      EXPECT_EQ(line["answer"]["kind"], "could_not_look");
      EXPECT_EQ(line["rescan"].get<std::string>().rfind("Please scan " + unit(number), 0), 0U);
      ++rescans;
    } else if (number % 5 == 0) {
      EXPECT_EQ(line["target"]["head"], "3") << text;
      EXPECT_EQ(line["target"]["side"], "left");
    } else if (number % 5 == 1 || number % 5 == 4) {
      EXPECT_EQ(line["answer"]["kind"], "nothing_found") << text;
    }
    EXPECT_TRUE(fs::exists(calm + "/" + line["report"].get<std::string>()));
  }
  EXPECT_EQ(cases.size(), static_cast<std::size_t>(kCases));
  EXPECT_EQ(rescans, kCases / 10);

  // Nothing of another's is written over.
  const std::string foreign = fresh_folder("foreign");
  std::ofstream(foreign + "/cases.jsonl") << "mine";
  EXPECT_EQ(run_tool(triage(inbox, foreign, "1")).status, 2);
  EXPECT_EQ(slurp(foreign + "/cases.jsonl"), "mine");
}

// ---- Quality assurance -----------------------------------------------------------------------------------

TEST(Story, QualityPassesFailsAndCannotJudge) {
  const std::string folder = fresh_folder("quality");
  const std::string limits = source_path("fixtures/limits/proof_first_class.toml");
  print_sheet(folder + "/good.png", 21);
  print_sheet(folder + "/bad.png", 22, {"--residue", "3:left:faceplate:1"});
  std::ofstream(folder + "/torn.png", std::ios::binary) << slurp(folder + "/good.png").substr(0, 20000);
  const auto accept = [&](const Words& scans) {
    Words words{"--limits", limits, "--json", "-"};
    words.insert(words.end(), scans.begin(), scans.end());
    return run_tool(with_machine("accept", words));
  };

  const Ran pass = accept({folder + "/good.png"});
  EXPECT_EQ(pass.status, 0) << pass.out << pass.err;
  EXPECT_EQ(Json::parse(pass.out)["verdict"], "pass");

  // Of which state is the machine? A streak on one sheet of two has no verdict.
  const Ran mixed = accept({folder + "/good.png", folder + "/bad.png"});
  EXPECT_EQ(mixed.status, 4) << mixed.out << mixed.err;
  EXPECT_EQ(
      Json::parse(mixed.out)["sentence"].get<std::string>().rfind("Cannot judge, the scans are mixed", 0),
      0U);

  const Ran fail = accept({folder + "/bad.png"});
  EXPECT_EQ(fail.status, 3) << fail.out << fail.err;
  const Json failed = Json::parse(fail.out);
  for (const auto& limit : failed["limits"]) {
    if (limit["limit"] != "streak.loss_max") continue;
    EXPECT_EQ(limit["verdict"], "fail");
    EXPECT_NE(limit["scans"].dump().find("bad.png"), std::string::npos) << limit;
  }

  for (const auto& json : {pass.out, fail.out}) {
    std::ofstream(folder + "/verdict.json") << json;
    EXPECT_TRUE(valid("accept", folder + "/verdict.json"));
  }
  const Ran unsure = accept({folder + "/torn.png"});
  EXPECT_EQ(unsure.status, 4) << unsure.out << unsure.err;
  EXPECT_EQ(accept({folder + "/good.png", folder + "/torn.png"}).status, 4);
}

}  // namespace
}  // namespace scrapetrace::cli
