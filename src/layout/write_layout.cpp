#include "layout/write_layout.h"

#include <fmt/format.h>

#include "layout/toml_text.h"
#include "scrapetrace/read_files.h"

namespace scrapetrace::layout {

namespace {

std::string machine_text(const Layout& layout) {
  std::string shifts;
  for (const int shift : layout.interleave.shift_px)
    shifts += (shifts.empty() ? "" : ", ") + std::to_string(shift);
  return fmt::format(
      "\n[drum]\nwidth_mm = {}\ncircumference_mm = {}\n\n[raster]\ncross_process_dpi = {}\nprocess_dpi = {}\n"
      "\n[interleave]\njet_pitch_px = {}\nshift_px = [{}]\n\n[transfer]\nmirrored = {}\nscale_cross = {}\n"
      "sheet_left_on_drum_mm = {}\n\n[tolerance]\nplace_mm = {}\nscale = {}\n",
      toml_float(layout.drum.width_mm), toml_float(layout.drum.circumference_mm),
      toml_float(layout.raster.cross_process_dpi), toml_float(layout.raster.process_dpi),
      layout.interleave.jet_pitch_px, shifts, layout.transfer.mirrored,
      toml_float(layout.transfer.scale_cross), toml_float(layout.transfer.sheet_left_on_drum_mm),
      toml_float(layout.tolerance.place_mm), toml_float(layout.tolerance.scale));
}

std::string ink_text(const Ink& ink) {
  const Rgb& d = ink.solid_density_rgb;
  return fmt::format("\n[[ink]]\nname = {}\nsolid_density_rgb = [{}, {}, {}]\n", toml_string(ink.name),
                     toml_float(d[0]), toml_float(d[1]), toml_float(d[2]));
}

std::string carriage_text(const Carriage& carriage) {
  return fmt::format("\n[[carriage]]\nname = {}\nangle_deg = {}\noffset_mm = {}\ntravel = {}\n",
                     toml_string(carriage.name), toml_float(carriage.angle_deg),
                     toml_float(carriage.offset_mm), carriage.travel);
}

std::string head_text(const Layout& layout, const Head& head) {
  std::string out =
      fmt::format("\n[[head]]\nname = {}\ncarriage = {}\nfirst_jet_px = {}\njets = {}\nrotated = {}\n",
                  toml_string(head.name), toml_string(layout.carriages[head.carriage].name),
                  head.first_jet_px, head.jets, head.rotated);
  if (!head.group.empty()) out += fmt::format("group = {}\n", toml_string(head.group));
  return out;
}

}  // namespace

std::string zone_toml(const Zone& zone) {
  return fmt::format(
      "[[zone]]\nsurface = {}\nside = \"{}\"\nfrom_mm = {}\nto_mm = {}\nprior = {}\neffort_min = {}\n"
      "reach_min = {}\n",
      toml_string(zone.surface), to_string(zone.side), toml_float(zone.from_mm), toml_float(zone.to_mm),
      toml_float(zone.prior), toml_float(zone.effort_min), toml_float(zone.reach_min));
}

std::string write_layout(const Layout& layout, const std::string& remark) {
  std::string out = toml_remark(remark);
  out += fmt::format("schema = \"scrapetrace.layout/1\"\nname = {}\n", toml_string(layout.name));
  out += machine_text(layout);
  for (const Ink& ink : layout.inks) out += ink_text(ink);
  for (const Carriage& carriage : layout.carriages) out += carriage_text(carriage);
  for (const Head& head : layout.heads) out += head_text(layout, head);
  for (const Zone& zone : layout.zones) out += '\n' + zone_toml(zone);
  return out;
}

}  // namespace scrapetrace::layout
