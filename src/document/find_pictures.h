#pragma once
// The pictures that a page paints, and where.

#include <qpdf/QPDFPageObjectHelper.hh>
#include <vector>

#include "document/matrix.h"

namespace scrapetrace::document {

struct ShownPicture {
  QPDFObjectHandle image;  // null for an inline picture
  Matrix page_from_unit;   // from the unit square, top edge = first picture row, to page points
};

// In painting order. Follows form XObjects, eight levels deep.
std::vector<ShownPicture> find_pictures(QPDFPageObjectHelper page);

}  // namespace scrapetrace::document
