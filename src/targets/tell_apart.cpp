#include "targets/tell_apart.h"

#include <algorithm>
#include <cmath>

#include "geometry/frames.h"

namespace scrapetrace::diagnose {

namespace {

std::string place(const Layout& layout, const geometry::TargetZone& zone) {
  return "head " + layout.heads[zone.head].name + " " + to_string(layout.zones[zone.zone].side);
}

// Whether two sides look at each other across one gap on one carriage: no other head of it stands between.
bool face_each_other(const Layout& layout, const geometry::TargetZone& a, const geometry::TargetZone& b) {
  const Head& ha = layout.heads[a.head];
  const Head& hb = layout.heads[b.head];
  if (ha.carriage != hb.carriage || a.head == b.head) return false;
  const Head& left = ha.first_jet_px < hb.first_jet_px ? ha : hb;
  const Head& right = ha.first_jet_px < hb.first_jet_px ? hb : ha;
  const auto& left_zone = layout.zones[&left == &ha ? a.zone : b.zone];
  const auto& right_zone = layout.zones[&left == &ha ? b.zone : a.zone];
  if (geometry::drum_side(left, left_zone.side) != Side::right) return false;
  if (geometry::drum_side(right, right_zone.side) != Side::left) return false;
  return std::none_of(layout.heads.begin(), layout.heads.end(), [&](const Head& h) {
    return h.carriage == ha.carriage && h.first_jet_px > left.first_jet_px &&
           h.first_jet_px < right.first_jet_px;
  });
}

}  // namespace

std::string tell_apart(const Layout& layout, const geometry::TargetZone& a, const geometry::TargetZone& b) {
  const Zone& za = layout.zones[a.zone];
  const Zone& zb = layout.zones[b.zone];
  if (a.head == b.head && za.side == zb.side) {
    return "Same side of the same head: look at the " + za.surface + " and the " + zb.surface + " in one go.";
  }
  if (a.head == b.head) {
    return "Two sides of one head: measure the streak against the head; a finer scan narrows the place down.";
  }
  if (face_each_other(layout, a, b)) {
    return "The two sides face each other: both are reached and seen from the gap between heads " +
           layout.heads[a.head].name + " and " + layout.heads[b.head].name + ".";
  }
  const Carriage& ca = layout.carriages[layout.heads[a.head].carriage];
  const Carriage& cb = layout.carriages[layout.heads[b.head].carriage];
  if (layout.heads[a.head].carriage == layout.heads[b.head].carriage) {
    return "Both ride on carriage " + ca.name + ": look at both sides before scraping either.";
  }
  if (ca.travel != cb.travel) {
    return "Carriages " + ca.name + " and " + cb.name +
           " travel opposite ways, so a finer scan (600 dpi or more) tells " + place(layout, a) + " from " +
           place(layout, b) + " by the side on which the streak fades.";
  }
  return "Heads on carriages " + ca.name + " and " + cb.name +
         " cover the same place: a print made with one carriage's heads only tells them apart, if the "
         "machine can "
         "make one; else look at both with a mirror before scraping either.";
}

}  // namespace scrapetrace::diagnose
