// Replies as bytes: whole ones come back as they were; of any others nothing comes.

#include "sandbox/reply.h"

#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <random>
#include <span>

#include "sandbox_test.h"

namespace scrapetrace::sandbox {
namespace {

std::vector<std::uint8_t> bytes_of(const Reply& reply) {
  const int file = memfd_create("reply", 0);
  EXPECT_TRUE(write_reply(file, reply));
  std::vector<std::uint8_t> bytes(static_cast<std::size_t>(lseek(file, 0, SEEK_END)));
  EXPECT_EQ(pread(file, bytes.data(), bytes.size(), 0), static_cast<ssize_t>(bytes.size()));
  close(file);
  return bytes;
}

std::optional<Reply> reply_in(std::span<const std::uint8_t> bytes) {
  const int file = memfd_create("reply", 0);
  EXPECT_EQ(write(file, bytes.data(), bytes.size()), static_cast<ssize_t>(bytes.size()));
  auto reply = read_reply(file);
  close(file);
  return reply;
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
  EXPECT_TRUE(std::get<Failed>(*reply_in(bytes_of(Failed{true, "why"}))).no_filter);
  EXPECT_TRUE(std::holds_alternative<NeedsLibvips>(*reply_in(bytes_of(NeedsLibvips{}))));
}

TEST(Reply, TakesLightThatLiesInTheFile) {
  const int file = memfd_create("reply", 0);
  PageRaster given = page();
  const auto put = room_for_light(file, given.linear.size());
  ASSERT_TRUE(put);
  const std::span<const std::uint16_t> light(given.linear.data(), given.linear.size());
  put(21, light.subspan(21));  // in any order
  put(0, light.first(21));
  given.linear.own().clear();
  ASSERT_TRUE(write_reply(file, given));
  const auto back = read_reply(file);
  ASSERT_TRUE(back);
  EXPECT_EQ(std::get<PageRaster>(*back).linear, page().linear);
  EXPECT_EQ(std::get<PageRaster>(*back).notes, page().notes);
  // Room for another page is no room for this one.
  given.height_px += given.rows_per_block;
  EXPECT_FALSE(write_reply(file, given));
  // Whatever is written later begins the file anew.
  ASSERT_TRUE(write_reply(file, Failed{}));
  EXPECT_TRUE(std::holds_alternative<Failed>(*read_reply(file)));
  close(file);
}

TEST(Reply, IsNothingWhenCutOrLengthened) {
  for (const Reply& reply :
       {Reply(page()), Reply(Scans{1, 2}), Reply(Problems{{"", 0, 0, "what"}}), Reply(Failed{})}) {
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
  const std::size_t fields_at = 16 + 2 * page().linear.size() - 8;
  int taken = 0;
  for (int round = 0; round < 20000; ++round) {
    auto bytes = whole;
    // The fields come after the light.
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

TEST(Reply, ShowsNoControlCharacters) {
  const auto back = reply_in(bytes_of(Problems{{"", 0, 0, "a\x1b[2Jb\n"}}));
  EXPECT_EQ(std::get<Problems>(*back).front().what, "a?[2Jb?");
}

}  // namespace
}  // namespace scrapetrace::sandbox
