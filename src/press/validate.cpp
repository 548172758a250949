#include "press/validate.h"

#include <algorithm>
#include <string>

#include "geometry/column_map.h"
#include "press/range_check.h"
#include "press/scan_from_sheet.h"
#include "tags/tag_pattern.h"

namespace scrapetrace::press {

namespace {

std::string nth(const char* what, std::size_t i) {
  return std::string(what) + " " + std::to_string(i + 1);
}

void check_layout(const Layout& layout, RangeCheck& check) {
  check.above("the layout's cross_process_dpi", layout.raster.cross_process_dpi, 0, 9600);
  check.above("the layout's process_dpi", layout.raster.process_dpi, 0, 9600);
  check.above("the layout's drum width_mm", layout.drum.width_mm, 0, 10000);
  check.above("the layout's scale_cross", layout.transfer.scale_cross, 0, 10);
  check.within("the layout's jet_pitch_px", layout.interleave.jet_pitch_px, 1, 10000);
  if (layout.interleave.jet_pitch_px < 1) return;
  const auto passes = geometry::pass_of_residue(layout.interleave, 1);
  if (std::any_of(passes.begin(), passes.end(), [](int pass) { return pass < 0; })) {
    check.fail(
        "the layout's interleave does not lay every column once: its shift_px, modulo jet_pitch_px, must hit "
        "each of 0 to jet_pitch_px - 1 exactly once.");
  }
  for (std::size_t h = 0; h < layout.heads.size(); ++h) {
    check.index(nth("the carriage of head", h), layout.heads[h].carriage, layout.carriages.size(),
                "carriages");
  }
}

void check_chart(const Layout& layout, const Chart& chart, RangeCheck& check) {
  check.above("the chart's sheet width", chart.sheet_mm[0], 0, 2000);
  check.above("the chart's sheet length", chart.sheet_mm[1], 0, 2000);
  for (std::size_t i = 0; i < chart.patches.size(); ++i) {
    const Patch& patch = chart.patches[i];
    const std::string name = nth("patch", i);
    check.ordered("x_mm of " + name, patch.x_mm[0], patch.x_mm[1]);
    check.ordered("y_mm of " + name, patch.y_mm[0], patch.y_mm[1]);
    check.above("coverage of " + name, patch.coverage, 0, 1);
    for (const auto& ink : patch.inks) {
      const bool known =
          std::any_of(layout.inks.begin(), layout.inks.end(), [&](const Ink& i2) { return i2.name == ink; });
      if (!known)
        check.fail(name + " asks for ink \"" + ink +
                   "\", which the layout does not have: use one of its inks.");
    }
  }
}

void check_marks(const Chart& chart, RangeCheck& check) {
  for (std::size_t i = 0; i < chart.marks.size(); ++i) {
    const Mark& mark = chart.marks[i];
    const std::string name = nth("mark", i);
    check.within("the id of " + name, mark.id, 0, tags::count() - 1);
    check.within("the x of " + name, mark.center_mm[0], -2000, 2000);
    check.within("the y of " + name, mark.center_mm[1], -2000, 2000);
    check.above("the size of " + name, mark.size_mm, 0, 200);
  }
}

void check_residues(const Layout& layout, const Causes& causes, RangeCheck& check) {
  for (std::size_t i = 0; i < causes.residues.size(); ++i) {
    const Residue& residue = causes.residues[i];
    const std::string name = nth("residue", i);
    check.index("the carriage of " + name, residue.carriage, layout.carriages.size(), "carriages");
    check.finite("x_mm of " + name, residue.x_mm);
    check.above("width_mm of " + name, residue.width_mm, 0, 1000);
    check.above("loss of " + name, residue.loss, 0, 1);
    check.span("y of " + name, residue.y);
  }
}

void check_jets(const Layout& layout, const Causes& causes, RangeCheck& check) {
  for (std::size_t i = 0; i < causes.jets.size(); ++i) {
    const WeakJet& jet = causes.jets[i];
    const std::string name = nth("weak jet", i);
    check.index("the head of " + name, jet.head, layout.heads.size(), "heads");
    check.index("the ink of " + name, jet.ink, layout.inks.size(), "inks");
    if (jet.head < layout.heads.size())
      check.within("the jet of " + name, jet.jet, 0, layout.heads[jet.head].jets - 1);
    check.above("loss of " + name, jet.loss, 0, 1);
  }
}

void check_other_causes(const Causes& causes, RangeCheck& check) {
  for (std::size_t i = 0; i < causes.scratches.size(); ++i) {
    const DrumScratch& scratch = causes.scratches[i];
    const std::string name = nth("drum scratch", i);
    check.finite("x_mm of " + name, scratch.x_mm);
    check.above("width_mm of " + name, scratch.width_mm, 0, 1000);
    check.above("loss of " + name, scratch.loss, 0, 1);
    check.span("y of " + name, scratch.y);
  }
  for (std::size_t i = 0; i < causes.hazes.size(); ++i) {
    const BladeHaze& haze = causes.hazes[i];
    const std::string name = nth("blade haze", i);
    check.finite("x_mm of " + name, haze.x_mm);
    check.above("width_mm of " + name, haze.width_mm, 0, 1000);
    check.above("density of " + name, haze.density, 0, 4);
    check.span("y of " + name, haze.y);
  }
  for (std::size_t i = 0; i < causes.lines.size(); ++i) {
    const ScannerLine& line = causes.lines[i];
    const std::string name = nth("scanner line", i);
    check.within("column_fraction of " + name, line.column_fraction, 0, 1);
    check.above("width_px of " + name, line.width_px, 0, 1000);
    check.within("gain of " + name, line.gain, 0, 10);
  }
}

void check_shifts(const Layout& layout, const Causes& causes, RangeCheck& check) {
  for (std::size_t i = 0; i < causes.shifts.size(); ++i) {
    const CarriageShift& shift = causes.shifts[i];
    const std::string name = nth("carriage shift", i);
    check.index("the carriage of " + name, shift.carriage, layout.carriages.size(), "carriages");
    check.within("offset_mm of " + name, shift.offset_mm, -5, 5);
  }
}

void check_print(const PrintOptions& print, RangeCheck& check) {
  check.within("jet_variation", print.jet_variation, 0, 0.3);
  check.within("mottle", print.mottle, 0, 0.3);
  check.within("mottle_mm", print.mottle_mm, 0.5, 1000);  // finer would need a huge grid, and is grain
  check.within("grain", print.grain, 0, 0.3);
  check.within("screen_lpi", print.screen_lpi, 0, 400);
  check.within("screen_deg", print.screen_deg, -360, 360);
  check.above("paper_white", print.paper_white, 0, 1);
  check.within("stretch_x", print.stretch_x, 0.9, 1.1);
  check.within("stretch_y", print.stretch_y, 0.9, 1.1);
  check.within("shift_x_mm", print.shift_x_mm, -50, 50);
  check.within("shift_y_mm", print.shift_y_mm, -50, 50);
}

void check_scan(const ScanOptions& scan, RangeCheck& check) {
  check.within("dpi", scan.dpi, 25, 4800);
  check.within("blur_px", scan.blur_px, 0, 20);
  check.within("noise", scan.noise, 0, 64);
  check.within("skew_deg", scan.skew_deg, -15, 15);  // beyond, ScanRows' boxes turn too far from the pixels
  if (scan.turn_deg % 90 != 0 || scan.turn_deg < 0 || scan.turn_deg > 270) {
    check.fail("turn_deg is " + std::to_string(scan.turn_deg) +
               "; allowed are 0, 90, 180 and 270: give one of them.");
  }
  check.within("margin_mm", scan.margin_mm, -1000, 100);
  check.within("bed", scan.bed, 0, 1);
  if (scan.bits != 8 && scan.bits != 16) {
    check.fail("bits is " + std::to_string(scan.bits) + "; allowed are 8 and 16: give one of them.");
  }
  check.within("threads", scan.threads, 0, 1024);
}

// Limits of image formats and memory; checked once the options are in range.
void check_size(const Chart& chart, const PrintOptions& print, const ScanOptions& scan, RangeCheck& check) {
  constexpr int kLargestSide_px = 65500;
  const ScanGeometry g = scan_geometry(chart, print, scan);
  check.within("the image's width in pixels (from sheet, margin_mm and dpi)", g.raw_width_px, 16,
               kLargestSide_px);
  check.within("the image's height in pixels (from sheet, margin_mm and dpi)", g.raw_height_px, 16,
               kLargestSide_px);
}

}  // namespace

Problems validate(const Layout& layout, const Chart& chart, const Causes& causes, const PrintOptions& print,
                  const ScanOptions& scan) {
  RangeCheck check;
  check_layout(layout, check);
  check_chart(layout, chart, check);
  check_marks(chart, check);
  check_residues(layout, causes, check);
  check_jets(layout, causes, check);
  check_other_causes(causes, check);
  check_shifts(layout, causes, check);
  check_print(print, check);
  check_scan(scan, check);
  Problems problems = check.take();
  if (problems.empty()) {
    check_size(chart, print, scan, check);
    problems = check.take();
  }
  return problems;
}

}  // namespace scrapetrace::press
