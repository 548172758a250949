#pragma once
// Which pictures a page shows, and where.

#include <qpdf/QPDFPageObjectHelper.hh>
#include <vector>

#include "document/matrix.h"

namespace scrapetrace::document {

struct ShownPicture {
  QPDFObjectHandle image;  // null for one that stands in the page's own text of commands (inline)
  Matrix page_from_unit;   // the unit square, its top edge the picture's first row, into the page's points
};

// In the order they are painted. Looks into forms, eight deep.
std::vector<ShownPicture> find_pictures(QPDFPageObjectHelper page);

}  // namespace scrapetrace::document
