#include "locate/ways_up.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>

namespace scrapetrace::locate_detail {

namespace {

constexpr double kInDoubt = 0.15;  // of probability left over, above which the answer is limited by it
constexpr double kBin_mm = 0.25;
constexpr double kClearly = 0.1;  // of correlation

constexpr const char* kMirroredOrNot =
    "cannot tell whether the image is a mirror image of the sheet, so both were weighed: say so with "
    "--mirrored yes or no, and print a chart with a mark in one corner";

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

// How the sheet was taken to lie, where not as people lay it; empty where it was.
std::string way_taken(const WayUp& way) {
  if (!way.face_mirrored && way.turn_deg == 0) return {};
  std::string out = "the sheet was taken to lie ";
  out += way.turn_deg == 0 ? "upright"
         : way.turn_deg == 180
             ? "turned by half, its lead edge at the bottom of the image"
             : std::string("across, its lead edge at the ") + side_of_lead_edge(way) + " of the image";
  if (way.face_mirrored) {
    out +=
        ", and the image to be a mirror image of it: if neither scanner nor program mirrors, say "
        "--mirrored no";
  }
  return out;
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

void add_way(const WayUp& way, std::vector<WayUp>& ways) {
  const auto known = std::find_if(ways.begin(), ways.end(), [&](const WayUp& other) {
    return other.turn_deg == way.turn_deg && other.face_mirrored == way.face_mirrored;
  });
  if (known == ways.end()) {
    ways.push_back(way);
  } else {
    known->probability += way.probability;
  }
}

void tell_ways_up(ScanReport& report) {
  const auto& ways = report.registration->ways_up;
  if (ways.empty()) return;
  const WayUp& first = ways.front();
  if (const auto taken = way_taken(first); !taken.empty()) report.notes.push_back(taken);
  const WayUp* rival = nullptr;  // with its lead edge elsewhere
  double other_edge = 0;
  double other_face = 0;
  for (const WayUp& way : ways) {
    if (way.face_mirrored != first.face_mirrored) other_face += way.probability;
    if (way.turn_deg == first.turn_deg) continue;
    other_edge += way.probability;
    if (rival == nullptr) rival = &way;
  }
  if (rival != nullptr && other_edge > kInDoubt) {
    report.reasons.push_back(std::string("the print looks the same with its lead edge at the ") +
                             side_of_lead_edge(first) + " and at the " + side_of_lead_edge(*rival) +
                             " of the image, so both were weighed: say where it lies with --lead-edge");
  }
  if (other_face > kInDoubt) report.reasons.emplace_back(kMirroredOrNot);
  if (!report.reasons.empty()) report.verdict = QualityVerdict::limited;
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
  std::stable_sort(out.begin(), out.end(),
                   [](const JointWay& a, const JointWay& b) { return a.probability > b.probability; });
  double sum = 0;
  for (const JointWay& joint : out) sum += joint.probability;
  for (JointWay& joint : out) joint.probability /= sum;
  return out;
}

}  // namespace scrapetrace::locate_detail
