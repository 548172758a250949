// Replies as bytes: whole ones come back as they were; of any others nothing comes.

#include "sandbox/reply.h"

#include <sys/mman.h>

#include <random>

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
  for (int i = 0; i < 7 * 3 * 3; ++i) out.linear.push_back(static_cast<std::uint16_t>(1000 * i));
  return out;
}

TEST(Reply, ComesBackWhole) {
  const auto back = read_reply(bytes_of(page()));
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
  EXPECT_EQ(std::get<Scans>(*read_reply(bytes_of(Scans{0, 2, 5}))), (Scans{0, 2, 5}));
  EXPECT_EQ(std::get<Problems>(*read_reply(bytes_of(Problems{{"file", 1, 2, "what"}}))).front().what, "what");
  EXPECT_TRUE(std::get<Failed>(*read_reply(bytes_of(Failed{true, "why"}))).no_filter);
}

TEST(Reply, IsNothingWhenCutOrLengthened) {
  for (const Reply& reply :
       {Reply(page()), Reply(Scans{1, 2}), Reply(Problems{{"", 0, 0, "what"}}), Reply(Failed{})}) {
    auto bytes = bytes_of(reply);
    for (std::size_t size = 0; size < bytes.size(); ++size)
      EXPECT_FALSE(read_reply(std::span(bytes).first(size))) << size;
    bytes.push_back(0);
    EXPECT_FALSE(read_reply(bytes));
  }
}

TEST(Reply, HoldsWhatItSaysWhateverTheBytes) {
  std::mt19937 random(5);
  const auto whole = bytes_of(page());
  int taken = 0;
  for (int round = 0; round < 20000; ++round) {
    auto bytes = whole;
    for (int k = 0; k < 1 + round % 4; ++k) bytes[random() % 200] = static_cast<std::uint8_t>(random());
    const auto back = read_reply(bytes);
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
  const auto back = read_reply(bytes_of(Problems{{"", 0, 0, "a\x1b[2Jb\n"}}));
  EXPECT_EQ(std::get<Problems>(*back).front().what, "a?[2Jb?");
}

}  // namespace
}  // namespace scrapetrace::sandbox
