#include "document/scanned_page.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFExc.hh>
#include <qpdf/QPDFPageDocumentHelper.hh>

#include "document/find_pictures.h"

namespace scrapetrace::document {

namespace {

constexpr double kNotable = 0.01;       // of the page's area
constexpr double kLargePart = 0.2;      // of the page's area: one of its pictures
constexpr double kSquare = 0.005;       // rad; a picture turned by more must be rendered
constexpr double kWholePixel_px = 0.1;  // tolerance of a page's size and a picture's position

using Vector = std::array<double, 2>;  // as displayed: x right, y down, in points

struct Box {
  double left = 0, bottom = 0, width = 0, height = 0;
};

Box box_of(QPDFPageObjectHelper& page) {
  const auto r = page.getCropBox().getArrayAsRectangle();
  return {std::min(r.llx, r.urx), std::min(r.lly, r.ury), std::abs(r.urx - r.llx), std::abs(r.ury - r.lly)};
}

int rotation_of(QPDFPageObjectHelper& page) {
  QPDFObjectHandle rotate = page.getAttribute("/Rotate", false);
  const int degrees = rotate.isInteger() ? static_cast<int>(rotate.getIntValue() % 360) : 0;
  return ((degrees + 360) % 360) / 90;  // quarter turns, clockwise
}

Vector turned(Vector v, int quarters) {
  for (int k = 0; k < quarters; ++k) v = {-v[1], v[0]};
  return v;
}

double length(const Vector& v) {
  return std::hypot(v[0], v[1]);
}

// 0 right, 1 down, 2 left, 3 up; -1 for other directions.
int direction_of(const Vector& v) {
  const double quarter = std::atan2(v[1], v[0]) * 2 / std::acos(-1.0);
  if (std::abs(quarter - std::round(quarter)) * std::acos(-1.0) / 2 > kSquare) return -1;
  return (static_cast<int>(std::lround(quarter)) + 4) % 4;
}

// The Exif orientation whose rows run along `row` and follow one another along `down`; 0: none.
int orientation_of(const Vector& row, const Vector& down) {
  constexpr std::array<std::array<int, 2>, 8> kDirections = {
      {{0, 1}, {2, 1}, {2, 3}, {0, 3}, {1, 0}, {1, 2}, {3, 2}, {3, 0}}};
  const std::array<int, 2> seen = {direction_of(row), direction_of(down)};
  const auto* at = std::find(kDirections.begin(), kDirections.end(), seen);
  return at == kDirections.end() ? 0 : static_cast<int>(at - kDirections.begin()) + 1;
}

// The profile of an /ICCBased colour space.
std::string profile_of(QPDFObjectHandle space) {
  const auto data = space.getArrayItem(1).getStreamData(qpdf_dl_generalized);
  return {reinterpret_cast<const char*>(data->getBuffer()), data->getSize()};
}

bool plain_colour_space(QPDFObjectHandle space, std::string& profile) {
  if (space.isNameAndEquals("/DeviceRGB") || space.isNameAndEquals("/DeviceGray")) return true;
  if (!space.isArray() || space.getArrayNItems() < 1) return false;
  QPDFObjectHandle kind = space.getArrayItem(0);
  if (kind.isNameAndEquals("/CalRGB") || kind.isNameAndEquals("/CalGray")) return true;
  if (!kind.isNameAndEquals("/ICCBased") || space.getArrayNItems() < 2) return false;
  QPDFObjectHandle stream = space.getArrayItem(1);
  if (!stream.isStream()) return false;
  QPDFObjectHandle n = stream.getDict().getKey("/N");
  if (!n.isInteger() || n.getIntValue() == 4) return false;
  profile = profile_of(space);
  return true;
}

bool is_cmyk(QPDFObjectHandle space) {
  if (space.isNameAndEquals("/DeviceCMYK")) return true;
  if (!space.isArray() || space.getArrayNItems() < 2 || !space.getArrayItem(0).isNameAndEquals("/ICCBased"))
    return false;
  QPDFObjectHandle stream = space.getArrayItem(1);
  if (!stream.isStream()) return false;
  QPDFObjectHandle n = stream.getDict().getKey("/N");
  return n.isInteger() && n.getIntValue() == 4;
}

// Programs usually store CMYK JPEGs inverted. A JPEG file says so by its Adobe marker (Adobe Technical Note
// 5116), a PDF by its /Decode array, ignoring the marker. True when both agree.
bool inverted_alike(QPDFObjectHandle decode, const std::string& jpeg) {
  if (!decode.isArray() || decode.getArrayNItems() != 8) return false;
  for (int k = 0; k < 8; ++k) {
    QPDFObjectHandle item = decode.getArrayItem(k);
    if (!item.isNumber() || item.getNumericValue() != (k % 2 == 0 ? 1 : 0)) return false;
  }
  return jpeg.substr(0, 4096).find(std::string("\xFF\xEE\x00\x0E", 4) + "Adobe") != std::string::npos;
}

// Extracts a picture stored as a JPEG if its values mean the same outside the PDF: no mask, no other /Decode.
void take_jpeg(QPDFObjectHandle image, PagePicture& out) {
  QPDFObjectHandle d = image.getDict();
  QPDFObjectHandle filter = d.getKey("/Filter");
  if (filter.isArray() && filter.getArrayNItems() == 1) filter = filter.getArrayItem(0);
  if (!filter.isNameAndEquals("/DCTDecode")) return;
  if (d.hasKey("/SMask") || d.hasKey("/Mask")) return;
  QPDFObjectHandle space = d.getKey("/ColorSpace");
  const bool cmyk = is_cmyk(space);
  if (!cmyk && (d.hasKey("/Decode") || !plain_colour_space(space, out.profile))) return;
  const auto data = image.getRawStreamData();
  std::string jpeg(reinterpret_cast<const char*>(data->getBuffer()), data->getSize());
  if (cmyk && !inverted_alike(d.getKey("/Decode"), jpeg)) return;
  if (cmyk && space.isArray()) out.profile = profile_of(space);
  out.jpeg = std::move(jpeg);
}

// Whether rendering at the picture's resolution maps its pixels exactly to page pixels.
bool falls_on_whole_pixels(const Matrix& m, const Box& box, const PagePicture& p) {
  const double px_per_point = p.dpi_across / 72;
  const auto off_by = [&](double points) {
    const double px = points * px_per_point;
    return std::abs(px - std::round(px));
  };
  const double left = std::min({m.e, m.e + m.a + m.c}) - box.left;
  const double top = box.bottom + box.height - std::max({m.f, m.f + m.b + m.d});
  return p.orientation != 0 && std::abs(p.dpi_across / p.dpi_along - 1) < 0.001 &&
         off_by(left) < kWholePixel_px && off_by(top) < kWholePixel_px;
}

PagePicture describe(ShownPicture shown, const Box& box, int quarters, double point_mm) {
  const Matrix& m = shown.page_from_unit;
  PagePicture out;
  QPDFObjectHandle d = shown.image.getDict();
  const auto pixels = [&](const char* key) {
    QPDFObjectHandle value = d.getKey(key);
    return value.isInteger() ? static_cast<int>(std::clamp(value.getIntValue(), 0LL, 1000000LL)) : 0;
  };
  out.width_px = pixels("/Width");
  out.height_px = pixels("/Height");
  const Vector row = turned({m.a, -m.b}, quarters);
  const Vector down = turned({-m.c, m.d}, quarters);
  out.dpi_across = out.width_px * 25.4 / (length(row) * point_mm);
  out.dpi_along = out.height_px * 25.4 / (length(down) * point_mm);
  out.orientation = orientation_of(row, down);
  out.on_whole_pixels = falls_on_whole_pixels(m, box, out);
  if (out.orientation != 0) take_jpeg(shown.image, out);
  return out;
}

ScannedPage describe(QPDFPageObjectHelper page) {
  QPDFObjectHandle unit = page.getAttribute("/UserUnit", false);
  const double point_mm = 25.4 / 72 * (unit.isNumber() ? unit.getNumericValue() : 1);
  const Box box = box_of(page);
  const int quarters = rotation_of(page);
  ScannedPage out;
  out.width_mm = (quarters % 2 == 0 ? box.width : box.height) * point_mm;
  out.height_mm = (quarters % 2 == 0 ? box.height : box.width) * point_mm;
  double largest = 0;
  for (ShownPicture& shown : find_pictures(page)) {
    const Matrix& m = shown.page_from_unit;
    const double area = std::abs(m.a * m.d - m.b * m.c) / std::max(1.0, box.width * box.height);
    if (area < kNotable) continue;
    ++out.pictures;
    if (area < kLargePart || area < largest || shown.image.isNull()) continue;
    largest = area;
    out.picture = describe(shown, box, quarters, point_mm);
  }
  return out;
}

Problem unreadable(const std::string& path, const std::string& why) {
  return {path, 0, 0,
          "cannot be read as a PDF (" + why + "); save the scan as TIFF or PNG, or copy it again"};
}

// Calls `ask` on an open document; turns qpdf's exceptions into problems.
template <class Answer, class Ask>
Result<Answer> with_document(const std::string& path, std::FILE* file, const Ask& ask) {
  if (file == nullptr) return unreadable(path, "no descriptor is left");
  try {
    QPDF document;
    document.setSuppressWarnings(true);
    document.setAttemptRecovery(false);
    document.processFile(path.c_str(), file, false);
    return ask(document);
  } catch (const QPDFExc& error) {
    if (error.getErrorCode() == qpdf_e_password) {
      return Problem{path, 0, 0, "is locked with a password; save the scan without one"};
    }
    return unreadable(path, error.getMessageDetail());
  } catch (const std::exception& error) {
    return unreadable(path, error.what());
  }
}

}  // namespace

Result<int> count_pages(const std::string& path, std::FILE* file) {
  return with_document<int>(path, file, [](QPDF& document) {
    return static_cast<int>(QPDFPageDocumentHelper(document).getAllPages().size());
  });
}

Result<ScannedPage> read_scanned_page(const std::string& path, std::FILE* file, int index) {
  return with_document<ScannedPage>(path, file, [&](QPDF& document) -> Result<ScannedPage> {
    auto pages = QPDFPageDocumentHelper(document).getAllPages();
    if (index < 0 || static_cast<std::size_t>(index) >= pages.size()) {
      return Problem{path, 0, 0,
                     "has " + std::to_string(pages.size()) + " pages, no page " + std::to_string(index + 1) +
                         "; name one of those"};
    }
    return describe(pages[static_cast<std::size_t>(index)]);
  });
}

}  // namespace scrapetrace::document
