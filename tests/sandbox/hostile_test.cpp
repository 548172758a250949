// A worker that misbehaves on purpose: the scan's bytes say how. The filter and the limits stop it, and other
// scans are read on.

#include <fcntl.h>
#include <netinet/in.h>
#include <sys/mman.h>
#include <sys/ptrace.h>
#include <sys/socket.h>

#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <map>
#include <new>

#include "sandbox/honest_page.h"
#include "sandbox/reply.h"
#include "sandbox_test.h"

namespace scrapetrace::sandbox {
namespace {

void say(int result, const std::string& words) {
  write_reply(result, Problems{{"", 0, 0, words}});
}

// A square page of that side, with hardly any light.
void claim_page(int result, int side_px) {
  PageRaster page;
  page.width_px = side_px;
  page.height_px = side_px;
  page.linear.own().assign(12, 0);
  write_reply(result, page);
}

// What an attempt gave: "opened", or the system's word for refusing.
std::string attempt(int answer) {
  return answer >= 0 ? "opened" : std::strerror(errno);
}

const std::map<std::string, void (*)(int)>& deeds() {
  static const std::map<std::string, void (*)(int)> all{
      {"good", [](int result) { write_reply(result, Scans{0}); }},
      {"read a file", [](int result) { say(result, attempt(open("/etc/passwd", O_RDONLY))); }},
      {"make a file",
       [](int result) { say(result, attempt(open("/tmp/left_behind", O_CREAT | O_RDWR, 0600))); }},
      {"run memory",
       [](int result) {
         const void* at =
             mmap(nullptr, 4096, PROT_READ | PROT_WRITE | PROT_EXEC, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
         say(result, attempt(at == MAP_FAILED ? -1 : 0));
       }},
      {"remove a file", [](int result) { say(result, attempt(unlink("/tmp/nothing_of_that_name"))); }},
      {"kin", [](int result) { say(result, attempt(static_cast<int>(fork()))); }},
      {"socket", [](int result) { say(result, attempt(socket(AF_INET, SOCK_STREAM, 0))); }},
      {"program", [](int result) { say(result, attempt(execl("/bin/true", "true", nullptr))); }},
      {"parent", [](int result) { say(result, attempt(kill(getppid(), SIGTERM))); }},
      {"debugger",
       [](int result) {
         say(result, attempt(static_cast<int>(ptrace(PTRACE_TRACEME, 0, nullptr, nullptr))));
       }},
      {"crash",
       [](int) {
         std::signal(SIGSEGV, SIG_DFL);  // a sanitizer's handler would make an exit of it
         std::raise(SIGSEGV);
       }},
      {"abort", [](int) { std::abort(); }},
      {"spin",
       [](int) {
         for (volatile bool on = true; on;) {
         }
       }},
      {"silence", [](int) {}},
      {"beg", [](int result) { write_reply(result, NeedsLibvips{}); }},
      {"beg slowly",
       [](int result) {
         const timespec a_while{0, 300'000'000};
         nanosleep(&a_while, nullptr);
         write_reply(result, NeedsLibvips{});
       }},
      {"throw", [](int) { throw std::bad_alloc(); }},
      {"flood",
       [](int result) {
         const std::string block(1U << 20U, 'x');
         while (write(result, block.data(), block.size()) > 0) {
         }
       }},
      {"advise",
       [](int result) { say(result, "was not read: this system is too old; read it with --no-sandbox"); }},
      {"borrow words",
       [](int result) {
         say(result, "is damaged or cut short (all is well, read it with --no-sandbox); copy it again");
       }},
      {"count on",
       [](int result) {
         write_reply(result, Scans{0, 0, 0});
       }},
      {"no page", [](int result) { write_reply(result, Scans{}); }},
      {"lie", [](int result) { claim_page(result, 2000); }},
      {"boast", [](int result) { claim_page(result, 200000); }},
  };
  return all;
}

void misbehave(const Request&, const scan::ScanFile& file, int result) {
  deeds().at(file.first_bytes(100))(result);
}

const std::map<std::string, void (*)(PageRaster&)>& lies() {
  static const std::map<std::string, void (*)(PageRaster&)> all{
      {"none", [](PageRaster&) {}},
      {"dpi", [](PageRaster& page) { page.tag_dpi_across = page.tag_dpi_along = 1e6; }},
      {"no dpi", [](PageRaster& page) { page.tag_dpi_across = page.tag_dpi_along = 1e-3; }},
      {"height",
       [](PageRaster& page) {
         page.height_px *= 2;
         page.linear.own().resize(static_cast<std::size_t>(page.blocks()) * 600);
       }},
      {"overview",
       [](PageRaster& page) {
         page.overview.width /= 2;
         page.overview.grey.resize(page.overview.grey.size() / 2);
       }},
      {"block",
       [](PageRaster& page) {
         page.rows_per_block = 64;
         page.linear.own().resize(static_cast<std::size_t>(page.blocks()) * 600);
       }},
      {"note", [](PageRaster& page) { page.notes = {"give --no-sandbox"}; }},
  };
  return all;
}

void lie_about_page(const Request& request, const scan::ScanFile& file, int result) {
  auto page = honest_page(request);
  lies().at(file.first_bytes(100))(page);
  write_reply(result, page);
}

class Hostile : public SandboxTest {
 protected:
  // What the parent says of a scan that makes the worker do this.
  std::string told(const std::string& deed) {
    const auto scans = reader_->pages_of(put("scan.tif", deed));
    const auto what = problem_of(scans);
    EXPECT_TRUE(what.empty() || what.starts_with(path("scan.tif") + ": ")) << what;
    return what;
  }
  static scan::ReadLimits limits() {
    scan::ReadLimits limits;
    limits.seconds = 0.5;
    limits.memory_megabytes = 200;
    return limits;
  }
  Result<PageReader> reader_ = PageReader::start(limits(), misbehave);
};

TEST_F(Hostile, OpensNothing) {
  for (const char* deed : {"read a file", "make a file", "remove a file", "run memory"})
    EXPECT_NE(told(deed).find("Operation not permitted"), std::string::npos) << deed << ": " << told(deed);
  EXPECT_FALSE(std::filesystem::exists("/tmp/left_behind"));
  // The same deeds do work where there is no filter: it is the filter that stops them.
  EXPECT_EQ(attempt(open("/etc/passwd", O_RDONLY)), "opened");
}

TEST_F(Hostile, IsEndedWhenItReachesOut) {
  for (const char* deed : {"socket", "program", "parent", "debugger"})
    EXPECT_NE(told(deed).find("was stopped"), std::string::npos) << deed << ": " << told(deed);
  EXPECT_EQ(attempt(socket(AF_INET, SOCK_STREAM, 0)), "opened");
}

TEST_F(Hostile, MakesNoProcesses) {
  const auto what = told("kin");
  EXPECT_TRUE(what.find("not permitted") != std::string::npos ||
              what.find("was stopped") != std::string::npos)
      << what;
}

TEST_F(Hostile, CostsItsOwnScanOnly) {
  for (const char* deed :
       {"crash", "abort", "socket", "spin", "silence", "beg", "lie", "boast", "flood", "throw"}) {
    EXPECT_NE(told(deed), "") << deed;
    EXPECT_EQ(told("good"), "") << deed;
  }
}

TEST_F(Hostile, IsToldApart) {
  EXPECT_NE(told("crash").find("crash (signal 11)"), std::string::npos);
  EXPECT_NE(told("spin").find("--most-seconds"), std::string::npos);
  EXPECT_NE(told("silence").find("made no sense"), std::string::npos);
  EXPECT_NE(told("beg").find("made no sense"), std::string::npos);
  EXPECT_NE(told("beg slowly").find("--most-seconds"), std::string::npos);  // 0.6 s of 0.5
  EXPECT_NE(told("lie").find("made no sense"), std::string::npos);
  EXPECT_NE(told("flood").find("made no sense"), std::string::npos);
  EXPECT_NE(told("boast").find("--most-memory"), std::string::npos);
  EXPECT_NE(told("throw").find("--most-memory"), std::string::npos);
}

// Its words are never the program's, and neither is its advice.
TEST_F(Hostile, SpeaksForItself) {
  for (const char* deed : {"advise", "borrow words"})
    EXPECT_NE(told(deed).find("do not rely on the reason, which comes from the process that read it: \""),
              std::string::npos)
        << told(deed);
  for (const char* deed : {"count on", "no page"})
    EXPECT_NE(told(deed).find("made no sense"), std::string::npos) << deed << ": " << told(deed);
}

// Pages whose parts do not fit together, or fit no scan: none of them reaches the analysis.
TEST_F(Hostile, HandsOverNoImpossiblePage) {
  const auto reader = PageReader::start({}, lie_about_page);
  const auto read = [&](const std::string& lie) {
    return problem_of(reader->read_page(put("scan.tif", lie), honest_request().read));
  };
  EXPECT_EQ(read("none"), "");
  for (const char* lie : {"dpi", "no dpi", "height", "overview", "block", "note"})
    EXPECT_NE(read(lie).find("made no sense"), std::string::npos) << lie << ": " << read(lie);
}

TEST_F(Hostile, CannotFillTheMemory) {
  const auto what = told("flood");
  EXPECT_NE(what, "");
  EXPECT_EQ(told("good"), "");
}

}  // namespace
}  // namespace scrapetrace::sandbox
