#pragma once
// libvips' objects, owned.

#include <memory>

#include "scan/libvips.h"

namespace scrapetrace::scan {

struct Unref {
  void operator()(void* object) const { g_object_unref(object); }
};
using Image = std::unique_ptr<VipsImage, Unref>;
using Region = std::unique_ptr<VipsRegion, Unref>;
using Source = std::unique_ptr<VipsSource, Unref>;

// Runs one libvips operation that makes an image from an image. False, with libvips' complaint set, when it
// fails; the image is then as it was.
template <class Operation>
bool apply(Image& image, Operation operation) {
  VipsImage* out = nullptr;
  if (operation(image.get(), &out) != 0) return false;
  image.reset(out);
  return true;
}

}  // namespace scrapetrace::scan
