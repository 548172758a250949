#include "tags/find_tags.h"

#include <algorithm>
#include <memory>

extern "C" {
#include <apriltag/apriltag.h>
#include <apriltag/tag36h11.h>
}

#include "tags/refine_corners.h"

namespace scrapetrace::tags {

namespace {

// Corrected bits per tag. With 1, a random pattern is accepted with odds of 587 * 37 / 2^36 per orientation.
constexpr int kBitsCorrected = 1;
constexpr int kLargestSide_px = 16384;  // limit of the detector's counters

using Family = std::unique_ptr<apriltag_family_t, void (*)(apriltag_family_t*)>;
using Detector = std::unique_ptr<apriltag_detector_t, void (*)(apriltag_detector_t*)>;
using Detections = std::unique_ptr<zarray_t, void (*)(zarray_t*)>;

Sighting sighting_of(const apriltag_detection_t& found) {
  Sighting out;
  out.id = found.id;
  out.margin = static_cast<double>(found.decision_margin);
  // libapriltag orders corners: bottom left, bottom right, top right, top left.
  for (std::size_t k = 0; k < 4; ++k) out.corners_px[k] = {found.p[3 - k][0], found.p[3 - k][1]};
  return out;
}

}  // namespace

std::vector<Sighting> find_tags(const GreyView& picture, const FindOptions& options) {
  if (picture.width_px < 16 || picture.height_px < 16 || picture.width_px > kLargestSide_px ||
      picture.height_px > kLargestSide_px) {
    return {};
  }
  // The detector may write to its picture.
  std::vector<std::uint8_t> pixels(picture.pixels.begin(), picture.pixels.end());
  image_u8_t image{picture.width_px, picture.height_px, picture.width_px, pixels.data()};
  const Family family(tag36h11_create(), tag36h11_destroy);
  const Detector detector(apriltag_detector_create(), apriltag_detector_destroy);
  apriltag_detector_add_family_bits(detector.get(), family.get(), kBitsCorrected);
  detector->nthreads = 1;
  detector->quad_decimate = 2;
  detector->refine_edges = true;
  const Detections found(apriltag_detector_detect(detector.get(), &image), apriltag_detections_destroy);
  apriltag_detector_remove_family(detector.get(), family.get());

  std::vector<Sighting> out;
  for (int i = 0; i < zarray_size(found.get()); ++i) {
    apriltag_detection_t* one = nullptr;
    zarray_get(found.get(), i, static_cast<void*>(&one));
    Sighting seen = sighting_of(*one);
    if (seen.margin < options.least_margin) continue;
    seen.corners_px = refine_corners(picture, seen.corners_px);
    out.push_back(seen);
  }
  std::sort(out.begin(), out.end(), [](const Sighting& a, const Sighting& b) {
    return a.id != b.id ? a.id < b.id : a.margin > b.margin;
  });
  const auto same = [](const Sighting& a, const Sighting& b) { return a.id == b.id; };
  out.erase(std::unique(out.begin(), out.end(), same), out.end());
  return out;
}

}  // namespace scrapetrace::tags
