// The real worker: what comes out of it is what reading in this process gives, and what is refused is
// refused.

#include <sys/stat.h>
#include <tiffio.h>

#include <thread>

#include "sandbox/reply.h"
#include "sandbox/worker.h"
#include "sandbox_test.h"
#include "scan/page_name.h"
#include "scan/write_image.h"

namespace scrapetrace::sandbox {
namespace {

scan::ReadLimits limits(double megapixels, double megabytes, double memory_megabytes) {
  scan::ReadLimits out;
  out.megapixels = megapixels;
  out.megabytes = megabytes;
  out.memory_megabytes = memory_megabytes;
  return out;
}

// Started before this process uses libvips itself, as a program does.
const auto kReader = PageReader::start({});
const auto kFewPixels = PageReader::start(limits(5.9, 4096, 4096));
const auto kFewBytes = PageReader::start(limits(600, 0.01, 4096));
const auto kLittleMemory = PageReader::start(limits(600, 4096, 16));

// The real work, but whoever needs libvips is told so.
const auto kWithoutLibvips =
    PageReader::start({}, [](const Request& request, const scan::ScanFile& file, int result) {
      if (!request.by_libvips) return read_scan(request, file, result);
      write_reply(result, Problems{{"", 0, 0, "was to be read by libvips"}});
    });

class PageReaderTest : public SandboxTest {
 protected:
  std::string scan_named(const std::string& name, int width = 300, int height = 420) {
    std::vector<std::uint8_t> rgb(static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 3);
    for (std::size_t i = 0; i < rgb.size(); ++i) rgb[i] = static_cast<std::uint8_t>(i * 7 + i / 900);
    scan::ImageOptions options;
    options.dpi = 300;
    EXPECT_TRUE(scan::write_image({width, height, 3, 8, rgb}, path(name), options).ok());
    return path(name);
  }
};

// A profile that cannot be used: only libvips says that.
void give_profile(const std::string& path) {
  const std::string profile(200, 'p');
  TIFF* tiff = TIFFOpen(path.c_str(), "r+");
  TIFFSetField(tiff, TIFFTAG_ICCPROFILE, static_cast<std::uint32_t>(profile.size()), profile.data());
  TIFFRewriteDirectory(tiff);
  TIFFClose(tiff);
}

std::string half_of(const std::string& bytes) {
  return bytes.substr(0, bytes.size() / 2);
}

void expect_same(const PageRaster& a, const PageRaster& b) {
  EXPECT_EQ(a.width_px, b.width_px);
  EXPECT_EQ(a.height_px, b.height_px);
  EXPECT_EQ(a.rows_per_block, b.rows_per_block);
  EXPECT_EQ(a.tag_dpi_across, b.tag_dpi_across);
  EXPECT_EQ(a.notes, b.notes);
  EXPECT_EQ(a.pixels.codes, b.pixels.codes);
  EXPECT_EQ(a.overview.grey, b.overview.grey);
  EXPECT_EQ(a.linear, b.linear);
}

TEST_F(PageReaderTest, GivesWhatReadingHereGives) {
  ASSERT_TRUE(kReader.ok());
  scan::ReadOptions options;
  options.overview = true;
  for (const char* name : {"a.tif", "a.png", "a.jpg"}) {
    const auto file = scan_named(name);
    EXPECT_EQ(kReader->pages_of(file).value(), std::vector<std::string>{file});
    const auto apart = kReader->read_page(file, options);
    ASSERT_TRUE(apart.ok()) << to_string(apart.problems().front());
    expect_same(*apart, *scan::read_page(file, options));
  }
}

TEST_F(PageReaderTest, TakesLibvipsForWhatNeedsItOnly) {
  ASSERT_TRUE(kWithoutLibvips.ok());
  scan::ReadOptions options;
  options.overview = true;
  for (const char* name : {"plain.tif", "plain.png"}) {
    const auto file = scan_named(name);
    EXPECT_EQ(kWithoutLibvips->pages_of(file).value(), std::vector<std::string>{file});
    const auto page = kWithoutLibvips->read_page(file, options);
    ASSERT_TRUE(page.ok()) << to_string(page.problems().front());
    expect_same(*page, *scan::read_page(file, options));
  }
  // Of no format that is taken: that can be said without.
  const auto letter = put("letter.tif", "This is a letter.");
  EXPECT_NE(problem_of(kWithoutLibvips->read_page(letter, {})).find("is not a TIFF"), std::string::npos);
  // Asked for on the way; from then on it is there, and for these from the start.
  const auto profile = scan_named("profile.tif");
  give_profile(profile);
  EXPECT_NE(problem_of(kWithoutLibvips->read_page(profile, options)).find("by libvips"), std::string::npos);
  for (const auto& [name, bytes] : {std::pair{"a.webp", "RIFF1234WEBPVP8 "}, {"a.pdf", "%PDF-1.4"}})
    EXPECT_NE(problem_of(kWithoutLibvips->read_page(put(name, bytes), {})).find("by libvips"),
              std::string::npos);
}

TEST_F(PageReaderTest, GoesOnByLibvipsWithTheSamePage) {
  scan::ReadOptions options;
  options.overview = true;
  const auto profile = scan_named("profile.tif");
  give_profile(profile);
  for (const auto& file : {profile, scan_named("exif.jpg")}) {  // and one that needs none
    const auto page = kReader->read_page(file, options);
    ASSERT_TRUE(page.ok()) << to_string(page.problems().front());
    expect_same(*page, *scan::read_page(file, options));
  }
}

TEST_F(PageReaderTest, MakesPhotosFlat) {
  PhotoMap map;
  map.ideal_from_sheet = {10, 0, 5, 0, 10, 5, 0, 0, 1};
  map.middle_px = {150, 210};
  map.radius_px = 258;
  scan::FlattenOptions options;
  options.sheet_mm = {25, 38};
  options.border_mm = 0;
  const auto file = scan_named("photo.png");
  const auto apart = kReader->flatten_page(file, map, options);
  ASSERT_TRUE(apart.ok()) << to_string(apart.problems().front());
  expect_same(*apart, *scan::flatten_page(file, map, options));
}

TEST_F(PageReaderTest, SaysTheSameOfBadFiles) {
  const auto here = PageReader::in_this_process({});
  put("cut.tif", half_of(slurp(scan_named("whole.tif"))));
  put("letter.tif", "This is a letter.");
  put("empty.tif", "");
  mkfifo(path("pipe.tif").c_str(), 0600);
  put("cut.png", half_of(slurp(scan_named("whole.png"))));
  put("cut.jpg", half_of(slurp(scan_named("whole.jpg"))));
  for (const char* name :
       {"cut.tif", "cut.png", "cut.jpg", "letter.tif", "empty.tif", "missing.tif", "pipe.tif", "."}) {
    const auto apart = kReader->read_page(path(name), {});
    const auto inside = here->read_page(path(name), {});
    ASSERT_FALSE(apart.ok()) << name;
    ASSERT_FALSE(inside.ok()) << name;
    EXPECT_EQ(to_string(apart.problems().front()), to_string(inside.problems().front()));
  }
}

TEST_F(PageReaderTest, HoldsTheFileAgainstTheLimits) {
  const auto file = scan_named("scan.png", 2000, 3000);
  const auto pixels = problem_of(kFewPixels->read_page(file, {}));
  EXPECT_NE(pixels.find("2000 x 3000 px"), std::string::npos) << pixels;
  EXPECT_NE(pixels.find("--most-megapixels"), std::string::npos) << pixels;
  const auto bytes = problem_of(kFewBytes->read_page(file, {}));
  EXPECT_NE(bytes.find("--most-megabytes"), std::string::npos) << bytes;
  EXPECT_EQ(problem_of(kReader->read_page(file, {})), "");
}

TEST_F(PageReaderTest, KeepsToWhatIsLeftOfACase) {
  const auto file = scan_named("scan.png", 2000, 3000);
  const auto here = PageReader::in_this_process({});
  const auto said = [&](const PageReader& reader, const scan::CaseShare& left) {
    scan::ReadOptions options;
    options.limits.left = left;
    return problem_of(reader.read_page(file, options));
  };
  for (const auto* reader : {&*kReader, &*here}) {
    scan::CaseShare left;
    left.megapixels = 6.1;
    left.light_megabytes = 5;
    EXPECT_EQ(said(*reader, left), "");
    left.megapixels = 5.9;
    EXPECT_NE(said(*reader, left).find("raise --most-case-megapixels"), std::string::npos);
    left.megapixels = 6.1;
    left.light_megabytes = 1;
    EXPECT_NE(said(*reader, left).find("raise --most-case-memory"), std::string::npos) << said(*reader, left);
  }
  scan::CaseShare over;
  over.seconds = 0;
  EXPECT_NE(said(*kReader, over).find("--most-case-seconds"), std::string::npos);
}

TEST_F(PageReaderTest, KeepsToItsMemory) {
  if (kSanitized) GTEST_SKIP() << "sanitizers take all address space there is";
  const auto what = problem_of(kLittleMemory->read_page(scan_named("large.png", 9000, 6000), {}));
  EXPECT_NE(what.find("--most-memory"), std::string::npos) << what;
}

TEST_F(PageReaderTest, ServesManyThreads) {
  const auto file = scan_named("scan.tif");
  const auto expected = scan::read_page(file, {});
  std::vector<std::jthread> threads;
  std::atomic<int> same = 0;
  for (int t = 0; t < 4; ++t) {
    threads.emplace_back([&] {
      for (int k = 0; k < 5; ++k) {
        const auto page = kReader->read_page(file, {});
        same += page.ok() && page->linear == expected->linear ? 1 : 0;
      }
    });
  }
  threads.clear();
  EXPECT_EQ(same, 20);
}

}  // namespace
}  // namespace scrapetrace::sandbox
