// libvips, which is looked for when it is needed: what is said where it is not there.

#include "scan/libvips.h"

#include <functional>
#include <stdexcept>

#include "pictures.h"
#include "scan/by_libvips.h"

namespace scrapetrace::scan {
namespace {

std::string said_by(const std::function<void()>& load) {
  try {
    load();
  } catch (const std::runtime_error& error) {
    return error.what();
  }
  return "";
}

TEST(Libvips, IsMissedInClearWords) {
  const std::string said = said_by([] { load_libvips("libnobody.so.7"); });
  EXPECT_TRUE(said.starts_with("libvips cannot be loaded (libnobody.so.7: ")) << said;
  EXPECT_NE(said.find("; install the package libvips"), std::string::npos) << said;
}

TEST(Libvips, IsRefusedWhereItLacksAFunction) {
  start_vips();
  auto* const before = vips_image_get_width;
  const std::string said = said_by([] { load_libvips("libm.so.6"); });
  EXPECT_NE(said.find("undefined symbol: g_free"), std::string::npos) << said;
  EXPECT_EQ(vips_image_get_width, before);
}

TEST(Libvips, IsTheOneThatTheHeadersAreOf) {
  start_vips();
  EXPECT_EQ(said_by([] { load_libvips(libvips_name()); }), "");
  EXPECT_EQ(vips_type_find("VipsOperation", "copy"), ::vips_type_find("VipsOperation", "copy"));
}

TEST(Libvips, IsMissedInTheNameOfTheFile) {
  const ScanFile file("scan.webp", -1);
  const Result<int> read = by_libvips(file, []() -> Result<int> { throw NoLibvips("libvips is away"); });
  ASSERT_FALSE(read.ok());
  EXPECT_EQ(to_string(read.problems().front()), "scan.webp: cannot be read: libvips is away");
}

}  // namespace
}  // namespace scrapetrace::scan
