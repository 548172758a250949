#include "scrapetrace/findings.h"

#include <algorithm>

namespace scrapetrace {

const char* to_string(Cause cause) {
  switch (cause) {
    case Cause::residue:
      return "residue";
    case Cause::dead_jet:
      return "dead_jet";
    case Cause::drum_scratch:
      return "drum_scratch";
    case Cause::blade_haze:
      return "blade_haze";
    case Cause::scanner_line:
      return "scanner_line";
    case Cause::seam_mismatch:
      return "seam_mismatch";
    case Cause::sheet_damage:
      return "sheet_damage";
    case Cause::unknown:
      break;
  }
  return "unknown";
}

const char* to_string(Datum datum) {
  switch (datum) {
    case Datum::tags:
      return "tags";
    case Datum::patch_edges:
      return "patch_edges";
    case Datum::jets:
      return "jets";
    case Datum::sheet_edges:
      return "sheet_edges";
    case Datum::image_edges:
      break;
  }
  return "image_edges";
}

const char* to_string(QualityVerdict verdict) {
  switch (verdict) {
    case QualityVerdict::ok:
      return "ok";
    case QualityVerdict::limited:
      return "usable with limits";
    case QualityVerdict::rescan:
      break;
  }
  return "rescan";
}

const char* to_string(ScanIssue issue) {
  switch (issue) {
    case ScanIssue::too_coarse:
      return "too_coarse";
    case ScanIssue::out_of_focus:
      return "out_of_focus";
    case ScanIssue::clipped:
      return "clipped";
    case ScanIssue::cropped:
      return "cropped";
    case ScanIssue::compressed:
      return "compressed";
    case ScanIssue::enhanced:
      return "enhanced";
    case ScanIssue::moire:
      return "moire";
    case ScanIssue::other_sheet:
      return "other_sheet";
    case ScanIssue::wrong_machine:
      return "wrong_machine";
    case ScanIssue::unproved_layout:
      return "unproved_layout";
    case ScanIssue::drawing:
      break;
  }
  return "drawing";
}

Cause Streak::likeliest() const {
  return static_cast<Cause>(std::max_element(causes.begin(), causes.end()) - causes.begin());
}

bool Findings::any_scan_analysed() const {
  return std::any_of(scans.begin(), scans.end(), [](const ScanReport& scan) { return scan.analysed(); });
}

bool Findings::layout_unproved() const {
  return std::any_of(scans.begin(), scans.end(), [](const ScanReport& scan) {
    return scan.analysed() &&
           std::find(scan.issues.begin(), scan.issues.end(), ScanIssue::unproved_layout) != scan.issues.end();
  });
}

bool Findings::looked() const {
  return any_scan_analysed() && checked >= kLeastChecked;
}

}  // namespace scrapetrace
