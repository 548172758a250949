// Pages of PDFs written here by hand, with answers from ISO 32000-1 and CIPA DC-008.

#include "document/scanned_page.h"

#include <gtest/gtest.h>

#include <array>
#include <cstdio>
#include <memory>
#include <ostream>
#include <string>
#include <utility>
#include <vector>

namespace scrapetrace::document {
namespace {

// A4 in points (ISO 216; 1 point is 1/72 inch).
constexpr double kA4Width_pt = 210 / 25.4 * 72;
constexpr double kA4Height_pt = 297 / 25.4 * 72;

// Objects 1, 2, ... of a file; with a cross-reference table as ISO 32000-1, 7.5.4 has it.
class Pdf {
 public:
  int add(const std::string& body) {
    objects_.push_back(body);
    return static_cast<int>(objects_.size());
  }
  int stream(const std::string& dictionary, const std::string& data) {
    return add("<< " + dictionary + " /Length " + std::to_string(data.size()) + " >>\nstream\n" + data +
               "\nendstream");
  }
  // The catalogue is the last object.
  [[nodiscard]] std::string bytes() const {
    std::string out = "%PDF-1.7\n";
    std::vector<std::size_t> at;
    for (std::size_t k = 0; k < objects_.size(); ++k) {
      at.push_back(out.size());
      out += std::to_string(k + 1) + " 0 obj\n" + objects_[k] + "\nendobj\n";
    }
    const std::size_t table = out.size();
    out += "xref\n0 " + std::to_string(at.size() + 1) + "\n0000000000 65535 f \n";
    for (const std::size_t offset : at) {
      std::string digits = std::to_string(offset);
      out += std::string(10 - digits.size(), '0') + digits + " 00000 n \n";
    }
    return out + "trailer\n<< /Size " + std::to_string(at.size() + 1) + " /Root " +
           std::to_string(at.size()) + " 0 R >>\nstartxref\n" + std::to_string(table) + "\n%%EOF\n";
  }

 private:
  std::vector<std::string> objects_;
};

std::string number(double value) {
  std::vector<char> text(64);
  std::snprintf(text.data(), text.size(), "%.6f", value);
  return text.data();
}

struct PageSpec {
  double width_pt = kA4Width_pt;
  double height_pt = kA4Height_pt;
  std::string keys;      // of the page's dictionary
  std::string contents;  // "q W 0 0 H 0 0 cm /Im Do Q" when empty
  std::string image = "/Width 2480 /Height 3508 /ColorSpace /DeviceRGB /Filter /DCTDecode";
  std::string form;  // contents of a form /Fm, drawn by `contents`; its matrix in `form_matrix`
  std::string form_matrix = "1 0 0 1 0 0";
};

std::string one_page(const PageSpec& spec) {
  Pdf pdf;
  const int image =
      pdf.stream("/Type /XObject /Subtype /Image /BitsPerComponent 8 " + spec.image, "the JPEG");
  const std::string image_reference = "/Im " + std::to_string(image) + " 0 R";
  const int form =
      pdf.stream("/Type /XObject /Subtype /Form /BBox [0 0 1000 1000] /Matrix [" + spec.form_matrix +
                     "] /Resources << /XObject << " + image_reference + " >> >>",
                 spec.form);
  const std::string fill =
      "q " + number(spec.width_pt) + " 0 0 " + number(spec.height_pt) + " 0 0 cm /Im Do Q";
  const int contents = pdf.stream("", spec.contents.empty() ? fill : spec.contents);
  const int pages = contents + 2;
  const int page = pdf.add("<< /Type /Page /Parent " + std::to_string(pages) + " 0 R /MediaBox [0 0 " +
                           number(spec.width_pt) + " " + number(spec.height_pt) + "] /Contents " +
                           std::to_string(contents) + " 0 R /Resources << /XObject << " + image_reference +
                           " /Fm " + std::to_string(form) + " 0 R >> >> " + spec.keys + " >>");
  pdf.add("<< /Type /Pages /Kids [" + std::to_string(page) + " 0 R] /Count 1 >>");
  pdf.add("<< /Type /Catalog /Pages " + std::to_string(pages) + " 0 R >>");
  return pdf.bytes();
}

using Stream = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;
Stream opened(const std::string& bytes) {
  Stream file(std::tmpfile(), std::fclose);
  std::fwrite(bytes.data(), 1, bytes.size(), file.get());
  std::rewind(file.get());
  return file;
}

ScannedPage read(const PageSpec& spec) {
  const Stream file = opened(one_page(spec));
  auto page = read_scanned_page("scan.pdf", file.get(), 0);
  EXPECT_TRUE(page) << (page ? "" : to_string(page.problems().front()));
  return page ? *page : ScannedPage{};
}

TEST(ScannedPage, GivesThePicturesResolutionOnPaper) {
  const ScannedPage page = read({});
  EXPECT_NEAR(page.width_mm, 210, 1e-3);
  EXPECT_NEAR(page.height_mm, 297, 1e-3);
  EXPECT_EQ(page.pictures, 1);
  ASSERT_TRUE(page.picture);
  EXPECT_EQ(page.picture->width_px, 2480);
  EXPECT_EQ(page.picture->height_px, 3508);
  EXPECT_NEAR(page.picture->dpi_across, 2480 * 25.4 / 210, 1e-3);
  EXPECT_NEAR(page.picture->dpi_along, 3508 * 25.4 / 297, 1e-3);
  EXPECT_EQ(page.picture->orientation, 1);
  EXPECT_EQ(page.picture->jpeg, "the JPEG");
  EXPECT_TRUE(page.picture->on_whole_pixels);
}

// ISO 32000-1, table 30: UserUnit is the size of a unit in 1/72 inch.
TEST(ScannedPage, FollowsTheUserUnit) {
  PageSpec spec;
  spec.keys = "/UserUnit 2";
  const ScannedPage page = read(spec);
  EXPECT_NEAR(page.width_mm, 420, 1e-3);
  EXPECT_NEAR(page.picture->dpi_across, 2480 * 25.4 / 420, 1e-3);
}

// The same table: Rotate is clockwise, a multiple of 90. CIPA DC-008, Orientation: 6 shows row 0 at the
// right, that is turned clockwise by a quarter.
TEST(ScannedPage, TurnsWithThePage) {
  PageSpec spec;
  for (const auto& [degrees, orientation] :
       std::vector<std::pair<int, int>>{{0, 1}, {90, 6}, {180, 3}, {270, 8}, {-90, 8}, {450, 6}}) {
    spec.keys = "/Rotate " + std::to_string(degrees);
    const ScannedPage page = read(spec);
    ASSERT_TRUE(page.picture);
    EXPECT_EQ(page.picture->orientation, orientation) << degrees;
    const bool lies = degrees % 180 != 0;
    EXPECT_NEAR(page.width_mm, lies ? 297 : 210, 1e-3) << degrees;
    EXPECT_NEAR(page.picture->dpi_across, 2480 * 25.4 / 210, 1e-3) << degrees;
  }
}

// CIPA DC-008, Orientation: where row 0 and column 0 of the stored picture are seen.
struct Placed {
  int orientation;
  const char* row_0;
  const char* column_0;
};
void PrintTo(const Placed& placed, std::ostream* out) {
  *out << placed.orientation << " row 0 " << placed.row_0 << ", column 0 " << placed.column_0;
}
class Orientations : public ::testing::TestWithParam<Placed> {};

TEST_P(Orientations, AreThoseOfExif) {
  const std::string row_0 = GetParam().row_0;
  const std::string column_0 = GetParam().column_0;
  // A picture's corner in PDF's unit square (8.9.5.1: row 0 at y = 1, column 0 at x = 0) goes where the sides
  // it touches are, on a page of 600 x 800 points, y up.
  const auto corner = [&](bool at_row_0, bool at_column_0) {
    std::array<double, 2> out{};
    const auto put = [&](const std::string& side, bool there) {
      if (side == "left") out[0] = there ? 0 : 600;
      if (side == "right") out[0] = there ? 600 : 0;
      if (side == "top") out[1] = there ? 800 : 0;
      if (side == "bottom") out[1] = there ? 0 : 800;
    };
    put(row_0, at_row_0);
    put(column_0, at_column_0);
    return out;
  };
  const auto origin = corner(false, true);
  const auto along_row = corner(false, false);
  const auto to_row_0 = corner(true, true);
  PageSpec spec;
  spec.width_pt = 600;
  spec.height_pt = 800;
  spec.contents = "q " + number(along_row[0] - origin[0]) + " " + number(along_row[1] - origin[1]) + " " +
                  number(to_row_0[0] - origin[0]) + " " + number(to_row_0[1] - origin[1]) + " " +
                  number(origin[0]) + " " + number(origin[1]) + " cm /Im Do Q";
  const ScannedPage page = read(spec);
  ASSERT_TRUE(page.picture);
  EXPECT_EQ(page.picture->orientation, GetParam().orientation);
}

INSTANTIATE_TEST_SUITE_P(Exif, Orientations,
                         ::testing::Values(Placed{1, "top", "left"}, Placed{2, "top", "right"},
                                           Placed{3, "bottom", "right"}, Placed{4, "bottom", "left"},
                                           Placed{5, "left", "top"}, Placed{6, "right", "top"},
                                           Placed{7, "right", "bottom"}, Placed{8, "left", "bottom"}),
                         [](const auto& test) { return "Number" + std::to_string(test.param.orientation); });

TEST(ScannedPage, ASkewedPictureHasNoOrientation) {
  PageSpec spec;
  spec.contents = "q 590 20 -20 840 0 0 cm /Im Do Q";  // turned by 1.9 degrees
  const ScannedPage page = read(spec);
  ASSERT_TRUE(page.picture);
  EXPECT_EQ(page.picture->orientation, 0);
  EXPECT_EQ(page.picture->jpeg, "");
  EXPECT_FALSE(page.picture->on_whole_pixels);
}

// 2480 px over 595 points: a picture half a pixel from the page's corner falls between its pixels.
TEST(ScannedPage, TellsWhetherPixelsFallOnWholePixels) {
  PageSpec spec;
  const double px_pt = kA4Width_pt / 2480;
  const double height_pt = 3508 * px_pt;
  for (const auto& [by_px, whole] :
       std::vector<std::pair<double, bool>>{{0, true}, {0.5, false}, {3, true}, {-2.75, false}}) {
    spec.height_pt = height_pt;
    spec.contents = "q " + number(kA4Width_pt) + " 0 0 " + number(height_pt) + " " + number(by_px * px_pt) +
                    " 0 cm /Im Do Q";
    EXPECT_EQ(read(spec).picture->on_whole_pixels, whole) << by_px;
  }
}

// 8.10: a form's matrix comes before the current one.
TEST(ScannedPage, LooksIntoForms) {
  PageSpec spec;
  spec.width_pt = 600;
  spec.height_pt = 800;
  spec.contents = "q 2 0 0 2 0 0 cm /Fm Do Q";
  spec.form_matrix = "1 0 0 0.5 0 0";
  spec.form = "q 300 0 0 800 0 0 cm /Im Do Q";
  const ScannedPage page = read(spec);
  ASSERT_TRUE(page.picture);
  EXPECT_NEAR(page.picture->dpi_across, 2480 / (600 / 72.0), 1e-3);
  EXPECT_NEAR(page.picture->dpi_along, 3508 / (800 / 72.0), 1e-3);
}

// 8.4.2: Q restores what q saved.
TEST(ScannedPage, RestoresTheMatrix) {
  PageSpec spec;
  spec.width_pt = 600;
  spec.height_pt = 800;
  spec.contents = "q 0.1 0 0 0.1 0 0 cm Q q 600 0 0 800 0 0 cm /Im Do Q";
  EXPECT_NEAR(read(spec).picture->dpi_across, 2480 / (600 / 72.0), 1e-3);
}

// Thresholds of scanned_page.cpp: a hundredth of the page to count, a fifth to be its picture.
TEST(ScannedPage, TakesTheLargestPictureThatFillsAGoodPart) {
  PageSpec spec;
  spec.width_pt = 600;
  spec.height_pt = 800;
  const auto drawn = [](double part) { return "q 600 0 0 " + number(800 * part) + " 0 0 cm /Im Do Q "; };
  spec.contents = drawn(0.009);
  EXPECT_EQ(read(spec).pictures, 0);
  spec.contents = drawn(0.011) + drawn(0.19);
  EXPECT_EQ(read(spec).pictures, 2);
  EXPECT_FALSE(read(spec).picture);
  spec.contents = drawn(0.3) + drawn(0.9) + drawn(0.5);
  const ScannedPage page = read(spec);
  EXPECT_EQ(page.pictures, 3);
  ASSERT_TRUE(page.picture);
  EXPECT_NEAR(page.picture->dpi_along, 3508 / (720 / 72.0), 1e-3);
}

TEST(ScannedPage, CountsAnInlinePictureButCannotTakeIt) {
  PageSpec spec;
  spec.width_pt = 600;
  spec.height_pt = 800;
  spec.contents = "q 600 0 0 800 0 0 cm BI /W 1 /H 1 /BPC 8 /CS /G ID x EI Q";
  const ScannedPage page = read(spec);
  EXPECT_EQ(page.pictures, 1);
  EXPECT_FALSE(page.picture);
}

// Only a JPEG whose values mean outside the PDF what they mean inside may be taken as it is.
struct Stored {
  const char* name;
  const char* keys;
  bool taken;
};
void PrintTo(const Stored& stored, std::ostream* out) {
  *out << stored.keys;
}
class Jpegs : public ::testing::TestWithParam<Stored> {};

TEST_P(Jpegs, AreTakenWhereTheirValuesMeanTheSame) {
  PageSpec spec;
  spec.image = std::string("/Width 2480 /Height 3508 ") + GetParam().keys;
  const ScannedPage page = read(spec);
  ASSERT_TRUE(page.picture);
  EXPECT_EQ(page.picture->jpeg, GetParam().taken ? "the JPEG" : "");
}

INSTANTIATE_TEST_SUITE_P(
    Stored, Jpegs,
    ::testing::Values(
        Stored{"Rgb", "/ColorSpace /DeviceRGB /Filter /DCTDecode", true},
        Stored{"Grey", "/ColorSpace /DeviceGray /Filter [/DCTDecode]", true},
        Stored{"CalibratedRgb", "/ColorSpace [/CalRGB << /WhitePoint [1 1 1] >>] /Filter /DCTDecode", true},
        Stored{"NoJpeg", "/ColorSpace /DeviceRGB /Filter /FlateDecode", false},
        Stored{"Indexed", "/ColorSpace [/Indexed /DeviceRGB 1 <000000FFFFFF>] /Filter /DCTDecode", false},
        Stored{"Masked", "/ColorSpace /DeviceRGB /Filter /DCTDecode /Mask [0 0 0 0 0 0]", false},
        Stored{"Inverted", "/ColorSpace /DeviceRGB /Filter /DCTDecode /Decode [1 0 1 0 1 0]", false},
        Stored{"CmykWithoutMarker", "/ColorSpace /DeviceCMYK /Filter /DCTDecode /Decode [1 0 1 0 1 0 1 0]",
               false}),
    [](const auto& test) { return test.param.name; });

TEST(ScannedPage, SaysWhichPagesThereAre) {
  const std::string bytes = one_page({});
  const Stream file = opened(bytes);
  const auto pages = count_pages("scan.pdf", file.get());
  ASSERT_TRUE(pages);
  EXPECT_EQ(*pages, 1);
  const Stream again = opened(bytes);
  const auto missing = read_scanned_page("scan.pdf", again.get(), 1);
  ASSERT_FALSE(missing);
  EXPECT_EQ(missing.problems().front().file, "scan.pdf");
  EXPECT_EQ(missing.problems().front().what, "has 1 pages, no page 2; name one of those");
}

TEST(ScannedPage, RefusesWhatIsNoWholePdf) {
  const std::string bytes = one_page({});
  for (const std::size_t kept : {std::size_t{0}, std::size_t{20}, bytes.size() / 2}) {
    const Stream file = opened(bytes.substr(0, kept));
    const auto pages = count_pages("scan.pdf", file.get());
    ASSERT_FALSE(pages) << kept;
    EXPECT_EQ(pages.problems().front().what.find("cannot be read as a PDF ("), 0U) << kept;
  }
}

// qpdf could rebuild a lost cross-reference table, and would read something else than other programs do.
TEST(ScannedPage, RefusesADamagedCrossReferenceTable) {
  std::string bytes = one_page({});
  const std::size_t at = bytes.find("startxref\n") + 10;
  bytes.replace(at, bytes.find('\n', at) - at, "7");
  const Stream file = opened(bytes);
  EXPECT_FALSE(count_pages("scan.pdf", file.get()));
}

}  // namespace
}  // namespace scrapetrace::document
