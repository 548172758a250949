// What becomes of files that are there already, and of odd names; limits as the command line gives them.

#include <gtest/gtest.h>
#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/seccomp.h>
#include <sys/prctl.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstddef>
#include <filesystem>
#include <fstream>
#include <thread>

#include "cli/run_tool.h"

namespace scrapetrace::cli {
namespace {

const std::string kLayout = source_path("geometry/tavvick.toml");
const std::string kChart = source_path("fixtures/charts/tavvick_strip.toml");

std::string scan() {
  const std::string path = scratch() + "/outputs_scan.png";
  if (std::filesystem::exists(path)) return path;
  EXPECT_EQ(
      run_tool({"simulate", "--layout", kLayout, "--chart", kChart, "--dpi", "100", "--out", path}).status,
      0);
  return path;
}

std::vector<std::string> locate(std::vector<std::string> more) {
  std::vector<std::string> words{"locate", "--layout", kLayout, "--chart", kChart};
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

TEST(Outputs, ReplaceNothingWithoutForce) {
  const std::string svg = scratch() + "/kept.svg";
  std::ofstream(svg) << "mine";
  const Ran refused = run_tool({"layout", kLayout, "--svg", svg});
  EXPECT_EQ(refused.status, 2);
  EXPECT_NE(refused.err.find("--force"), std::string::npos) << refused.err;
  EXPECT_EQ(slurp(svg), "mine");
  EXPECT_EQ(run_tool({"layout", kLayout, "--svg", svg, "--force"}).status, 0);
  EXPECT_NE(slurp(svg).find("</svg>"), std::string::npos);
  const std::string json = scratch() + "/kept.json";
  std::ofstream(json) << "mine";
  EXPECT_EQ(run_tool(locate({"--json", json, scan()})).status, 2);
  EXPECT_EQ(slurp(json), "mine");
}

TEST(Outputs, MayGoToADeviceOrAPipeThatTheUserNames) {
  EXPECT_EQ(run_tool(locate({"--json", "/dev/null", "--html", "/dev/null", "--force", scan()})).status, 0);
  EXPECT_TRUE(std::filesystem::is_character_file("/dev/null"));
  for (const auto& words : std::vector<std::vector<std::string>>{
           {"page", "--layout", kLayout, "--sheet", "A4", "--pdf", "/dev/null", "--tiff", "/dev/null"},
           {"layout", kLayout, "--svg", "/dev/null"},
           locate({"--picture", "/dev/null", scan()}),
           {"simulate", "--layout", kLayout, "--chart", kChart, "--dpi", "100", "--out", "/dev/null"}}) {
    const Ran ran = run_tool(words);
    EXPECT_EQ(ran.status, 0) << words[0] << ran.err;
  }
  const std::string pipe = scratch() + "/pipe";
  const std::string taken = scratch() + "/taken";
  ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
  std::thread reader([&] { std::ofstream(taken) << slurp(pipe); });
  EXPECT_EQ(run_tool(locate({"--json", pipe, scan()})).status, 0);
  reader.join();
  EXPECT_EQ(slurp(taken), run_tool(locate({"--json", "-", scan()})).out);
  EXPECT_TRUE(std::filesystem::is_fifo(pipe));
  const Ran named = run_tool(locate({"--json", "/dev/stdout", scan()}));
  EXPECT_EQ(named.status, 0) << named.err;
  EXPECT_EQ(named.out.substr(0, slurp(taken).size()), slurp(taken));
}

TEST(Outputs, SayWhenADeviceTakesNothing) {
  const Ran full = run_tool(locate({"--json", "/dev/full", scan()}));
  EXPECT_EQ(full.status, 2);
  EXPECT_NE(full.err.find("No space left"), std::string::npos) << full.err;
  EXPECT_EQ(run_tool(locate({"--json", "/dev/fd/77", scan()})).status, 2);
}

// A slip of the keyboard took the customer's scan, or the workshop's records.
TEST(Outputs, NeverDestroyAnInputOrEachOther) {
  namespace fs = std::filesystem;
  const std::string mine = scratch() + "/mine.png";
  const std::string link = scratch() + "/link.json";
  const std::string twin = scratch() + "/twin.json";
  const std::string book = scratch() + "/book.sqlite";
  const std::string layout = scratch() + "/mine.toml";
  fs::copy_file(scan(), mine);
  fs::copy_file(kLayout, layout);
  fs::create_symlink(mine, link);
  fs::create_hard_link(mine, twin);
  ASSERT_EQ(run_tool({"case", "add", "--book", book, "--unit", "u", "--who", "w", "--note", "n"}).status, 0);
  const std::string new_one = scratch() + "/new.json";
  const auto all = [&] { return slurp(mine) + slurp(book) + slurp(layout); };
  const std::string before = all();
  for (const auto& words : std::vector<std::vector<std::string>>{
           locate({"--json", mine, mine}),
           locate({"--json", mine, mine + "[1]"}),
           locate({"--json", link, mine}),
           locate({"--html", twin, mine}),
           locate({"--picture", mine, mine}),
           locate({"--trace", mine, mine}),
           locate({"--json", mine, "--before", mine, scan()}),
           locate({"--json", new_one, "--html",
                   scratch() + "/../" + fs::path(scratch()).filename().string() + "/new.json", mine}),
           {"case", "export", "--book", book, "--out", book},
           {"layout", "fit", "--layout", layout, "--seen", source_path("fixtures/places/tavvick_bench.toml"),
            "--out", layout},
           {"page", "--layout", layout, "--sheet", "A4", "--chart", layout},
           {"layout", layout, "--svg", layout},
           {"simulate", "--layout", layout, "--chart", kChart, "--out", mine, "--truth", mine},
           {"recheck", "--layout", kLayout, "--before", mine, "--after", scan(), "--cleaned", "3:left",
            "--json", mine}}) {
    auto forced = words;
    forced.emplace_back("--force");
    const Ran ran = run_tool(forced);
    EXPECT_EQ(ran.status, 2) << words[0] << ' ' << words[1];
    EXPECT_NE(ran.err.find("is the same file as"), std::string::npos) << words[0] << ran.err;
    EXPECT_TRUE(all() == before) << words[0] << ' ' << words[1];
  }
  EXPECT_FALSE(fs::exists(new_one));
}

TEST(Outputs, ShowNoControlCharactersOfNames) {
  const Ran ran =
      run_tool(locate({"--json", scratch() + "/a\x1b[2J\xE2\x80\xAE/b.json", "no\x1b]0;scan.png"}));
  EXPECT_EQ(ran.err.find('\x1b'), std::string::npos);
  EXPECT_EQ(ran.err.find("\xE2\x80\xAE"), std::string::npos);
  const Ran text = run_tool(locate({"no\x1b]0;scan.png"}));
  EXPECT_EQ(text.status, 1);
  EXPECT_EQ(text.out.find('\x1b'), std::string::npos);
}

TEST(ScanLimits, AreNamedWithTheOptionThatRaisesThem) {
  const Ran pixels = run_tool(locate({"--most-megapixels", "0.1", scan()}));
  EXPECT_EQ(pixels.status, 1);
  EXPECT_NE(pixels.out.find("--most-megapixels"), std::string::npos) << pixels.out;
  const Ran bytes = run_tool(locate({"--most-megabytes", "0.01", scan()}));
  EXPECT_EQ(bytes.status, 1);
  EXPECT_NE(bytes.out.find("--most-megabytes"), std::string::npos) << bytes.out;
  EXPECT_EQ(run_tool(locate({"--most-seconds", "-3", scan()})).status, 2);
}

TEST(Sandbox, GivesTheSameAnswerAsWithout) {
  const Ran inside = run_tool(locate({"--json", "-", scan()}));
  const Ran outside = run_tool(locate({"--json", "-", "--no-sandbox", scan()}));
  EXPECT_EQ(inside.status, 0) << inside.err;
  EXPECT_EQ(inside.out, outside.out);
}

// As in a container that does not let filters be set: from here on seccomp(2) and prctl(PR_SET_SECCOMP) fail.
void forbid_filters() {
  const auto load = static_cast<std::uint32_t>(offsetof(seccomp_data, nr));
  const auto first = static_cast<std::uint32_t>(offsetof(seccomp_data, args));
  std::array<sock_filter, 7> program{{
      {BPF_LD | BPF_W | BPF_ABS, 0, 0, load},
      {BPF_JMP | BPF_JEQ | BPF_K, 3, 0, SYS_seccomp},
      {BPF_JMP | BPF_JEQ | BPF_K, 0, 3, SYS_prctl},
      {BPF_LD | BPF_W | BPF_ABS, 0, 0, first},
      {BPF_JMP | BPF_JEQ | BPF_K, 0, 1, PR_SET_SECCOMP},
      {BPF_RET | BPF_K, 0, 0, SECCOMP_RET_ERRNO | EPERM},
      {BPF_RET | BPF_K, 0, 0, SECCOMP_RET_ALLOW},
  }};
  const sock_fprog filter{program.size(), program.data()};
  prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0);
  if (prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &filter) != 0) _exit(99);
}

TEST(Sandbox, ReadsNothingWhereNoFilterCanBeSet) {
  const std::string image = scan();
  const std::string said = scratch() + "/unfiltered";
  const pid_t child = fork();
  if (child == 0) {
    forbid_filters();
    const Ran ran = run_tool(locate({image}));
    const Ran trusting = run_tool(locate({"--no-sandbox", image}));
    std::ofstream(said) << ran.status << trusting.status << ran.out;
    _exit(0);
  }
  int status = 0;
  waitpid(child, &status, 0);
  ASSERT_EQ(status, 0);
  EXPECT_EQ(slurp(said).substr(0, 2), "10");
  EXPECT_NE(slurp(said).find("--no-sandbox"), std::string::npos) << slurp(said);
}

}  // namespace
}  // namespace scrapetrace::cli
