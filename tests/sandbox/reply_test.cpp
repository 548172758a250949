// Replies as bytes: whole ones come back as they were; of any others nothing comes.

#include "sandbox/reply.h"

#include <sys/mman.h>
#include <unistd.h>

#include <fstream>
#include <random>
#include <span>

#include "sandbox/check_reply.h"
#include "sandbox/honest_page.h"
#include "sandbox/pipe.h"
#include "sandbox_test.h"

namespace scrapetrace::sandbox {
namespace {

// A file does as well as a pipe.
class Bytes {
 public:
  Bytes() : file_(memfd_create("reply", 0)) {}
  explicit Bytes(std::span<const std::uint8_t> bytes) : Bytes() {
    EXPECT_EQ(write(file_.get(), bytes.data(), bytes.size()), static_cast<ssize_t>(bytes.size()));
  }
  [[nodiscard]] int to() const { return file_.get(); }
  [[nodiscard]] std::optional<Reply> read(const ReplyLimits& limits = {}) const {
    lseek(file_.get(), 0, SEEK_SET);
    return read_reply(file_.get(), limits);
  }
  [[nodiscard]] std::vector<std::uint8_t> all() const {
    std::vector<std::uint8_t> bytes(static_cast<std::size_t>(lseek(file_.get(), 0, SEEK_END)));
    EXPECT_EQ(pread(file_.get(), bytes.data(), bytes.size(), 0), static_cast<ssize_t>(bytes.size()));
    return bytes;
  }

 private:
  Descriptor file_;
};

std::vector<std::uint8_t> bytes_of(const Reply& reply) {
  const Bytes out;
  EXPECT_TRUE(write_reply(out.to(), reply));
  return out.all();
}

std::optional<Reply> reply_in(std::span<const std::uint8_t> bytes) {
  return Bytes(bytes).read();
}

PageRaster page() {
  PageRaster out;
  out.width_px = 7;
  out.height_px = 33;
  out.rows_per_block = 16;
  out.grey = true;
  out.tag_dpi_across = 300.5;
  out.tag_conflict = "odd";
  out.notes = {"one", "two"};
  out.pixels.codes[2][255] = 12;
  out.pixels.steps[3] = {-4.5, 9};
  out.overview = {3, 2, 4, true, false, true, {1, 2, 3, 4, 5, 6}};
  for (int i = 0; i < 7 * 3 * 3; ++i) out.linear.own().push_back(static_cast<std::uint16_t>(1000 * i));
  return out;
}

TEST(Reply, ComesBackWhole) {
  const auto back = reply_in(bytes_of(page()));
  ASSERT_TRUE(back);
  const auto& got = std::get<PageRaster>(*back);
  EXPECT_EQ(got.linear, page().linear);
  EXPECT_EQ(got.overview.grey, page().overview.grey);
  EXPECT_TRUE(got.overview.transposed && got.overview.flip_v && !got.overview.flip_u && got.grey);
  EXPECT_EQ(got.notes, page().notes);
  EXPECT_EQ(got.tag_conflict, "odd");
  EXPECT_EQ(got.pixels.codes, page().pixels.codes);
  EXPECT_EQ(got.pixels.steps[3].sum, -4.5);
  EXPECT_EQ(got.tag_dpi_across, 300.5);
  EXPECT_EQ(std::get<Scans>(*reply_in(bytes_of(Scans{0, 2, 5}))), (Scans{0, 2, 5}));
  EXPECT_EQ(std::get<Problems>(*reply_in(bytes_of(Problems{{"file", 1, 2, "what"}}))).front().what, "what");
  EXPECT_TRUE(std::holds_alternative<OutOfMemory>(*reply_in(bytes_of(OutOfMemory{}))));
  EXPECT_TRUE(std::holds_alternative<NeedsLibvips>(*reply_in(bytes_of(NeedsLibvips{}))));
}

// A page whose light comes by the block.
struct ByTheBlock {
  PageRaster page = sandbox::page();
  Light light = page.linear;
  Bytes out;
  scan::LightSink put = remote_light_sink(out.to(), 3, 21);
  ByTheBlock() { page.linear = Light(); }
  void send(std::size_t block, std::size_t count = 1) const {
    put(block, {light.data() + 21 * block, 21 * count});
  }
  [[nodiscard]] std::optional<Reply> reply(const ReplyLimits& limits = {}) const {
    EXPECT_TRUE(write_reply(out.to(), page));
    return out.read(limits);
  }
};

TEST(Reply, TakesLightInAnyOrder) {
  const ByTheBlock whole;
  whole.send(2);
  whole.send(0, 2);
  const auto back = whole.reply();
  ASSERT_TRUE(back);
  EXPECT_EQ(std::get<PageRaster>(*back).linear, page().linear);
  EXPECT_EQ(std::get<PageRaster>(*back).notes, page().notes);
}

TEST(Reply, TakesLightAgainFromTheStart) {
  ByTheBlock again;
  again.send(1);
  again.put = remote_light_sink(again.out.to(), 3, 21);
  again.send(0, 3);
  const auto back = again.reply();
  ASSERT_TRUE(back);
  EXPECT_EQ(std::get<PageRaster>(*back).linear, page().linear);
}

TEST(Reply, MayEndOtherwiseThanItBegan) {
  const ByTheBlock begun;
  begun.send(1);
  ASSERT_TRUE(write_reply(begun.out.to(), NeedsLibvips{}));
  const auto back = begun.out.read();
  ASSERT_TRUE(back);
  EXPECT_TRUE(std::holds_alternative<NeedsLibvips>(*back));
}

TEST(Reply, IsNothingWhenLightIsMissingTwiceOrElsewhere) {
  const ByTheBlock missing;
  missing.send(0);
  missing.send(2);
  EXPECT_FALSE(missing.reply());
  const ByTheBlock twice;
  twice.send(0, 3);
  twice.send(1);
  EXPECT_FALSE(twice.reply());
  const ByTheBlock beyond;
  beyond.put(3, {beyond.light.data(), 21});
  EXPECT_FALSE(beyond.reply());
  const ByTheBlock far;
  far.put(~std::size_t{0}, {far.light.data(), 42});
  EXPECT_FALSE(far.reply());
  const ByTheBlock torn;
  torn.put(0, {torn.light.data(), 20});
  EXPECT_FALSE(torn.reply());
  ByTheBlock another;
  another.page.height_px += another.page.rows_per_block;
  another.send(0, 3);
  EXPECT_FALSE(another.reply());
  const Bytes without_room;
  ASSERT_TRUE(write_reply(without_room.to(), another.page));
  EXPECT_FALSE(without_room.read());
}

TEST(Reply, KeepsToItsLimits) {
  const ByTheBlock large;
  large.send(0, 3);
  const auto back = large.reply({100, std::chrono::steady_clock::time_point::max()});
  ASSERT_TRUE(back);
  EXPECT_TRUE(std::holds_alternative<OutOfMemory>(*back));
  // More light than there is room for anywhere.
  const Bytes huge;
  ASSERT_TRUE(remote_light_sink(huge.to(), 200000, 600000));
  EXPECT_TRUE(std::holds_alternative<OutOfMemory>(*huge.read()));
  const Bytes odd;
  ASSERT_TRUE(remote_light_sink(odd.to(), 200001, 3));
  EXPECT_FALSE(odd.read());
}

TEST(Reply, IsWaitedForSoLong) {
  auto [from, to] = new_pipe();
  const auto begun = std::chrono::steady_clock::now();
  EXPECT_FALSE(read_reply(from.get(), {1e9, begun + std::chrono::milliseconds(50)}));
  EXPECT_GE(std::chrono::steady_clock::now() - begun, std::chrono::milliseconds(50));
  ASSERT_TRUE(write_reply(to.get(), Scans{1}));
  // Whole, but more may come.
  EXPECT_FALSE(read_reply(from.get(), {1e9, std::chrono::steady_clock::now()}));
  ASSERT_TRUE(write_reply(to.get(), Scans{1}));
  to = Descriptor();
  EXPECT_TRUE(read_reply(from.get()));
}

TEST(Reply, IsNothingWhenCutOrLengthened) {
  for (const Reply& reply :
       {Reply(page()), Reply(Scans{1, 2}), Reply(Problems{{"", 0, 0, "what"}}), Reply(OutOfMemory{})}) {
    auto bytes = bytes_of(reply);
    for (std::size_t size = 0; size < bytes.size(); ++size)
      EXPECT_FALSE(reply_in(std::span(bytes).first(size))) << size;
    bytes.push_back(0);
    EXPECT_FALSE(reply_in(bytes));
  }
}

TEST(Reply, HoldsWhatItSaysWhateverTheBytes) {
  std::mt19937 random(5);
  const auto whole = bytes_of(page());
  const std::size_t fields_at = 2 * 32 + 2 * page().linear.size();
  int taken = 0;
  for (int round = 0; round < 20000; ++round) {
    auto bytes = whole;
    // The last message comes after the light.
    for (int k = 0; k < 1 + round % 4; ++k)
      bytes[(fields_at + random() % 200) % bytes.size()] = static_cast<std::uint8_t>(random());
    const auto back = reply_in(bytes);
    if (!back || !std::holds_alternative<PageRaster>(*back)) continue;
    const auto& got = std::get<PageRaster>(*back);
    ++taken;
    ASSERT_EQ(got.linear.size(),
              static_cast<std::size_t>(got.blocks()) * 3 * static_cast<std::size_t>(got.width_px));
    ASSERT_EQ(got.overview.grey.size(),
              static_cast<std::size_t>(got.overview.width) * static_cast<std::size_t>(got.overview.height));
    ASSERT_TRUE(got.tag_dpi_across >= 0 && got.tag_dpi_across <= 1e6);
  }
  EXPECT_GT(taken, 100);  // so that the checks above were made
}

// What the fuzzer begins with is what workers write: seeds of another day reach nothing behind their first
// bytes.
TEST(Reply, IsWhatTheSeedsOfTheFuzzerAre) {
  const auto seed = [](const std::string& name) {
    std::ifstream file(SCRAPETRACE_SOURCE_DIR "/fixtures/replies/" + name, std::ios::binary);
    const std::string bytes(std::istreambuf_iterator<char>(file), {});
    return reply_in({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()})
        .value_or(NeedsLibvips{});
  };
  const auto page = seed("page");
  ASSERT_TRUE(std::holds_alternative<PageRaster>(page));
  EXPECT_EQ(impossible_field(std::get<PageRaster>(page), honest_request()), "");
  EXPECT_TRUE(std::holds_alternative<Scans>(seed("scans")));
  EXPECT_TRUE(std::holds_alternative<Problems>(seed("problems")));
  EXPECT_TRUE(std::holds_alternative<OutOfMemory>(seed("out_of_memory")));
}

TEST(Reply, ShowsNoControlCharacters) {
  const auto back = reply_in(bytes_of(Problems{{"", 0, 0, "a\x1b[2Jb\n"}}));
  EXPECT_EQ(std::get<Problems>(*back).front().what, "a?[2Jb?");
}

}  // namespace
}  // namespace scrapetrace::sandbox
