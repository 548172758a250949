#include "layout/write_chart.h"

#include <fmt/format.h>

#include <array>

#include "layout/toml_text.h"

namespace scrapetrace::layout {

namespace {

// With a point, whatever the locale: 8.0, 12.25.
std::string millimetres(double mm) {
  std::string text = fmt::format("{:.2f}", mm);
  if (text.back() == '0') text.pop_back();
  return text;
}

std::string pair_of(const std::array<double, 2>& mm) {
  return fmt::format("[{}, {}]", millimetres(mm[0]), millimetres(mm[1]));
}

std::string patch_text(const Patch& patch) {
  std::string inks;
  for (const auto& ink : patch.inks) inks += (inks.empty() ? "" : ", ") + toml_string(ink);
  return fmt::format("\n[[patch]]\ninks = [{}]\nx_mm = {}\ny_mm = {}\ncoverage = {}\n", inks,
                     pair_of(patch.x_mm), pair_of(patch.y_mm), fmt::format("{:#}", patch.coverage));
}

std::string mark_text(const Mark& mark) {
  return fmt::format("\n[[mark]]\nkind = {}\nid = {}\ncenter_mm = {}\nsize_mm = {}\n", toml_string(mark.kind),
                     mark.id, pair_of(mark.center_mm), millimetres(mark.size_mm));
}

}  // namespace

std::string write_chart(const Chart& chart, const std::string& remark) {
  std::string out = toml_remark(remark);
  out += fmt::format("schema = \"scrapetrace.chart/1\"\nname = {}\nsheet_mm = {}\n", toml_string(chart.name),
                     pair_of(chart.sheet_mm));
  for (const Patch& patch : chart.patches) out += patch_text(patch);
  for (const Mark& mark : chart.marks) out += mark_text(mark);
  return out;
}

}  // namespace scrapetrace::layout
