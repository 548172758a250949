#include "locate/ways_up.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace scrapetrace::locate_detail {

namespace {

constexpr double kInDoubt = 0.15;  // of probability left over, above which the answer is limited by it
constexpr double kBin_mm = 0.25;
constexpr double kClearly = 0.1;  // of correlation

const char* side_of_lead_edge(const WayUp& way) {
  switch (way.turn_deg) {
    case 90:
      return "left";
    case 180:
      return "bottom";
    case 270:
      return "right";
    default:
      return "top";
  }
}

// Mean loss over all inks in bins across the drum.
using Across = std::map<int, std::pair<double, double>>;  // bin: sum, count

Across across_drum(const AnalysedScan& scan) {
  Across out;
  if (!scan.prepared) return out;
  const auto& strips = scan.prepared->strips;
  for (const auto& view : scan.prepared->views.inked) {
    const auto& strip = strips.strips[view.strip];
    for (int i = strip.from; i < strip.to; ++i) {
      auto& bin = out[static_cast<int>(std::floor(strips.grid.at(i) / kBin_mm))];
      bin.first += static_cast<double>(view.loss[static_cast<std::size_t>(i)]);
      bin.second += 1;
    }
  }
  return out;
}

double likeness(const Across& a, const Across& b) {
  double both = 0;
  double aa = 0;
  double bb = 0;
  for (const auto& [bin, seen] : a) {
    const auto other = b.find(bin);
    if (other == b.end()) continue;
    const double x = seen.first / seen.second;
    const double y = other->second.first / other->second.second;
    both += x * y;
    aa += x * x;
    bb += y * y;
  }
  return aa > 0 && bb > 0 ? both / std::sqrt(aa * bb) : 0;
}

// The way of `ways` that looks most like `reference`; `otherwise` when none stands out.
std::size_t matching_way(const std::vector<AnalysedScan>& ways, const Across& reference,
                         std::size_t otherwise) {
  std::vector<double> like;
  for (const AnalysedScan& way : ways) like.push_back(likeness(reference, across_drum(way)));
  const std::size_t fallback = std::min(otherwise, ways.size() - 1);
  const auto best = static_cast<std::size_t>(std::max_element(like.begin(), like.end()) - like.begin());
  return like[best] > like[fallback] + kClearly ? best : fallback;
}

}  // namespace

void tell_ways_up(ScanReport& report) {
  const auto& ways = report.registration->ways_up;
  if (ways.size() < 2) return;
  const WayUp& first = ways.front();
  double other_edge = 0;
  const WayUp* rival = nullptr;
  for (const WayUp& way : ways) {
    if (way.turn_deg == first.turn_deg) continue;
    other_edge += way.probability;
    if (rival == nullptr) rival = &way;
  }
  if (rival != nullptr && other_edge > kInDoubt) {
    report.reasons.push_back(std::string("the print looks the same with its lead edge at the ") +
                             side_of_lead_edge(first) + " and at the " + side_of_lead_edge(*rival) +
                             " of the image, so both were weighed: say where it lies with --lead-edge");
  } else {
    report.notes.emplace_back(
        "a mirror image of the print would look the same: make sure that the scanner's driver does not "
        "mirror");
  }
}

std::vector<JointWay> joint_ways(const std::vector<std::vector<AnalysedScan>>& scans) {
  if (scans.empty()) return {{}};
  std::size_t reference = 0;
  for (std::size_t i = 0; i < scans.size(); ++i) {
    if (scans[i].size() > scans[reference].size()) reference = i;
  }
  std::vector<JointWay> out;
  for (std::size_t k = 0; k < scans[reference].size(); ++k) {
    JointWay joint{std::vector<std::size_t>(scans.size(), 0), scans[reference][k].placement.probability};
    Across across;
    for (std::size_t i = 0; i < scans.size(); ++i) {
      if (i == reference) {
        joint.way[i] = k;
      } else if (scans[i].size() > 1) {
        if (across.empty()) across = across_drum(scans[reference][k]);
        joint.way[i] = matching_way(scans[i], across, k);
      }
    }
    out.push_back(std::move(joint));
  }
  double sum = 0;
  for (const JointWay& joint : out) sum += joint.probability;
  for (JointWay& joint : out) joint.probability /= sum;
  return out;
}

}  // namespace scrapetrace::locate_detail
