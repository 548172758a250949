#pragma once
// Owning pointers for libvips objects.

#include <memory>

#include "scan/libvips.h"

namespace scrapetrace::scan {

struct Unref {
  void operator()(void* object) const { g_object_unref(object); }
};
using Image = std::unique_ptr<VipsImage, Unref>;
using Region = std::unique_ptr<VipsRegion, Unref>;
using Source = std::unique_ptr<VipsSource, Unref>;

// Replaces `image` by the output of a libvips operation. On failure returns false, with libvips' error set
// and the image unchanged.
template <class Operation>
bool apply(Image& image, Operation operation) {
  VipsImage* out = nullptr;
  if (operation(image.get(), &out) != 0) return false;
  image.reset(out);
  return true;
}

}  // namespace scrapetrace::scan
